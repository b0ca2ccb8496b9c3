//! Upper halves of the code pages that `\\PA\\` to `\\PI\\` choose for `\\S\\`: ISO 8859 parts 1 to 9.

/// A code page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Page {
    /// ISO 8859-1, in force until a directive says otherwise.
    Latin1,
    /// ISO 8859-2 and on: place in [`PAGES`].
    Other(usize),
}

impl Page {
    /// From the letter of the directive, `A` to `I`.
    pub(super) fn from_letter(letter: u8) -> Self {
        match letter.checked_sub(b'B') {
            Some(place) if usize::from(place) < PAGES.len() => Page::Other(usize::from(place)),
            _ => Page::Latin1,
        }
    }
}

/// The character 128 above a printable ASCII one.
pub(super) fn upper_half(page: Page, ascii: u8) -> char {
    let latin = char::from(ascii.wrapping_add(128));
    match page {
        Page::Latin1 => latin,
        Page::Other(place) => PAGES
            .get(place)
            .and_then(|page| page.chars().nth(usize::from(ascii.saturating_sub(32))))
            .unwrap_or(latin),
    }
}

/// Characters 160 to 255 of ISO 8859-2 to -9; U+FFFD where a part leaves a gap.
const PAGES: [&str; 8] = [
    "\u{a0}Ą\u{2d8}Ł\u{a4}ĽŚ\u{a7}\u{a8}ŠŞŤŹ\u{ad}ŽŻ\u{b0}ą\u{2db}ł\u{b4}ľśˇ\u{b8}šşťź\u{2dd}žżŔÁÂĂÄĹĆÇČÉĘËĚÍÎĎĐŃŇÓÔŐÖ\u{d7}ŘŮÚŰÜÝŢßŕáâăäĺćçčéęëěíîďđńňóôőö\u{f7}řůúűüýţ\u{2d9}",
    "\u{a0}Ħ\u{2d8}\u{a3}\u{a4}\u{fffd}Ĥ\u{a7}\u{a8}İŞĞĴ\u{ad}\u{fffd}Ż\u{b0}ħ²³\u{b4}µĥ\u{b7}\u{b8}ışğĵ½\u{fffd}żÀÁÂ\u{fffd}ÄĊĈÇÈÉÊËÌÍÎÏ\u{fffd}ÑÒÓÔĠÖ\u{d7}ĜÙÚÛÜŬŜßàáâ\u{fffd}äċĉçèéêëìíîï\u{fffd}ñòóôġö\u{f7}ĝùúûüŭŝ\u{2d9}",
    "\u{a0}ĄĸŖ\u{a4}ĨĻ\u{a7}\u{a8}ŠĒĢŦ\u{ad}Ž\u{af}\u{b0}ą\u{2db}ŗ\u{b4}ĩļˇ\u{b8}šēģŧŊžŋĀÁÂÃÄÅÆĮČÉĘËĖÍÎĪĐŅŌĶÔÕÖ\u{d7}ØŲÚÛÜŨŪßāáâãäåæįčéęëėíîīđņōķôõö\u{f7}øųúûüũū\u{2d9}",
    "\u{a0}ЁЂЃЄЅІЇЈЉЊЋЌ\u{ad}ЎЏАБВГДЕЖЗИЙКЛМНОПРСТУФХЦЧШЩЪЫЬЭЮЯабвгдежзийклмнопрстуфхцчшщъыьэюя\u{2116}ёђѓєѕіїјљњћќ\u{a7}ўџ",
    "\u{a0}\u{fffd}\u{fffd}\u{fffd}\u{a4}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{60c}\u{ad}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{61b}\u{fffd}\u{fffd}\u{fffd}\u{61f}\u{fffd}\u{621}\u{622}\u{623}\u{624}\u{625}\u{626}\u{627}\u{628}\u{629}\u{62a}\u{62b}\u{62c}\u{62d}\u{62e}\u{62f}\u{630}\u{631}\u{632}\u{633}\u{634}\u{635}\u{636}\u{637}\u{638}\u{639}\u{63a}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{640}\u{641}\u{642}\u{643}\u{644}\u{645}\u{646}\u{647}\u{648}\u{649}\u{64a}\u{64b}\u{64c}\u{64d}\u{64e}\u{64f}\u{650}\u{651}\u{652}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}",
    "\u{a0}\u{2018}\u{2019}\u{a3}\u{20ac}\u{20af}\u{a6}\u{a7}\u{a8}\u{a9}ͺ\u{ab}\u{ac}\u{ad}\u{fffd}\u{2015}\u{b0}\u{b1}²³\u{384}\u{385}Ά\u{b7}ΈΉΊ\u{bb}Ό½ΎΏΐΑΒΓΔΕΖΗΘΙΚΛΜΝΞΟΠΡ\u{fffd}ΣΤΥΦΧΨΩΪΫάέήίΰαβγδεζηθικλμνξοπρςστυφχψωϊϋόύώ\u{fffd}",
    "\u{a0}\u{fffd}\u{a2}\u{a3}\u{a4}\u{a5}\u{a6}\u{a7}\u{a8}\u{a9}\u{d7}\u{ab}\u{ac}\u{ad}\u{ae}\u{af}\u{b0}\u{b1}²³\u{b4}µ\u{b6}\u{b7}\u{b8}¹\u{f7}\u{bb}¼½¾\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{fffd}\u{2017}\u{5d0}\u{5d1}\u{5d2}\u{5d3}\u{5d4}\u{5d5}\u{5d6}\u{5d7}\u{5d8}\u{5d9}\u{5da}\u{5db}\u{5dc}\u{5dd}\u{5de}\u{5df}\u{5e0}\u{5e1}\u{5e2}\u{5e3}\u{5e4}\u{5e5}\u{5e6}\u{5e7}\u{5e8}\u{5e9}\u{5ea}\u{fffd}\u{fffd}\u{200e}\u{200f}\u{fffd}",
    "\u{a0}\u{a1}\u{a2}\u{a3}\u{a4}\u{a5}\u{a6}\u{a7}\u{a8}\u{a9}ª\u{ab}\u{ac}\u{ad}\u{ae}\u{af}\u{b0}\u{b1}²³\u{b4}µ\u{b6}\u{b7}\u{b8}¹º\u{bb}¼½¾\u{bf}ÀÁÂÃÄÅÆÇÈÉÊËÌÍÎÏĞÑÒÓÔÕÖ\u{d7}ØÙÚÛÜİŞßàáâãäåæçèéêëìíîïğñòóôõö\u{f7}øùúûüışÿ",
];
