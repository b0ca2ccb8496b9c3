//! Damaging files at random, from a seed, so that whatever goes wrong comes again.

/// A small generator (splitmix64; Steele, Lea and Flood 2014) so that runs repeat everywhere.
pub struct Random(u64);

impl Random {
    /// The generator of one round.
    pub fn of_round(round: u64) -> Self {
        Self(round.wrapping_mul(0x5851_f42d_4c95_7f2d))
    }

    /// The next 64 bits.
    pub fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A number below `n`, which may be zero.
    pub fn below(&mut self, n: usize) -> usize {
        (self.bits() % n.max(1) as u64) as usize
    }

    fn pick<'a, T>(&mut self, list: &'a [T]) -> Option<&'a T> {
        list.get(self.below(list.len()))
    }
}

/// A copy of `seed` with the damage of one round: of its bytes in even rounds, of its values (so
/// that it still parses and the harm goes deep) in odd ones.
pub fn damaged(seed: &[u8], round: u64) -> Vec<u8> {
    let mut random = Random::of_round(round);
    let mut bytes = seed.to_vec();
    for _ in 0..=random.below(6) {
        if round.is_multiple_of(2) {
            damage_bytes(&mut bytes, &mut random);
        } else {
            damage_values(&mut bytes, &mut random);
        }
    }
    if bytes.len() < 20 {
        bytes.resize(20, b' ');
    }
    bytes
}

fn damage_bytes(bytes: &mut Vec<u8>, random: &mut Random) {
    const SPICE: [&[u8]; 16] = [
        b"'",
        b"(",
        b")",
        b"$",
        b"*",
        b"/*",
        b";",
        b"#",
        b"=",
        b"#1",
        b"1E999",
        b"-1",
        b"\\X2\\",
        b",,",
        b"\"",
        b"99999999999999999999",
    ];
    if bytes.is_empty() {
        return;
    }
    let at = random.below(bytes.len());
    match random.below(7) {
        0 => bytes[at] ^= 1 << random.below(8),
        1 => bytes[at] = random.bits() as u8,
        2 => bytes.truncate(at.max(20)),
        3 => {
            let end = (at + random.below(200)).min(bytes.len());
            bytes.drain(at..end);
        }
        4 => {
            let spice = SPICE[random.below(SPICE.len())];
            bytes.splice(at..at, spice.iter().copied());
        }
        5 => {
            // A line twice, or in another place.
            let start = bytes[..at]
                .iter()
                .rposition(|b| *b == b'\n')
                .map_or(0, |n| n + 1);
            let end = bytes[at..]
                .iter()
                .position(|b| *b == b'\n')
                .map_or(bytes.len(), |n| at + n + 1);
            let line = bytes[start..end].to_vec();
            let to = random.below(bytes.len());
            bytes.splice(to..to, line);
        }
        _ => {
            let other = random.below(bytes.len());
            bytes.swap(at, other);
        }
    }
}

/// Where the real numbers, references, flags and list items after the header stand.
#[derive(Default)]
struct Tokens {
    numbers: Vec<(usize, usize)>,
    references: Vec<(usize, usize)>,
    flags: Vec<usize>,
    commas: Vec<usize>,
    statements: Vec<(usize, usize)>,
}

fn tokens(bytes: &[u8]) -> Tokens {
    let mut out = Tokens::default();
    let mut i = bytes
        .windows(5)
        .position(|w| w == b"DATA;")
        .map_or(0, |k| k + 5);
    let mut statement = i;
    let mut quoted = false;
    while i < bytes.len() {
        let b = bytes[i];
        quoted ^= b == b'\'';
        let run = |from: usize, ok: fn(u8) -> bool| {
            from + bytes[from..].iter().take_while(|b| ok(**b)).count()
        };
        match b {
            _ if quoted => {}
            b'#' => {
                let end = run(i + 1, |b| b.is_ascii_digit());
                out.references.push((i + 1, end));
                i = end;
                continue;
            }
            b'0'..=b'9' | b'-' => {
                let end = run(i + 1, |b| {
                    b.is_ascii_digit() || matches!(b, b'.' | b'E' | b'+' | b'-')
                });
                out.numbers.push((i, end));
                i = end;
                continue;
            }
            b'.' if matches!(bytes.get(i..i + 3), Some(b".T." | b".F.")) => out.flags.push(i + 1),
            b',' => out.commas.push(i),
            b';' => {
                out.statements.push((statement, i + 1));
                statement = i + 1;
            }
            _ => {}
        }
        i += 1;
    }
    out
}

fn damage_values(bytes: &mut Vec<u8>, random: &mut Random) {
    const ODD: [&str; 14] = [
        "0.",
        "-1.",
        "1.E-9",
        "1.E9",
        "-1.E15",
        "1.E300",
        "1.E-300",
        "0.5",
        "3.14159265358979",
        "360.",
        "2",
        "3",
        "40",
        "100000",
    ];
    let t = tokens(bytes);
    match random.below(10) {
        0..=2 => {
            if let Some(&(a, b)) = random.pick(&t.numbers) {
                let odd = ODD[random.below(ODD.len())];
                bytes.splice(a..b, odd.bytes());
            }
        }
        3 => {
            // A little off, or by powers of ten.
            if let Some(&(a, b)) = random.pick(&t.numbers)
                && let Ok(x) = String::from_utf8_lossy(&bytes[a..b]).parse::<f64>()
            {
                let factor = [1.000_01, 1.01, 1.5, -1.0, 1e3, 1e-3, 1e6][random.below(7)];
                let text = format!("{:?}", x * factor).to_uppercase();
                bytes.splice(a..b, text.bytes());
            }
        }
        4 => {
            // Two numbers change places, as knots out of order do.
            let k = random.below(t.numbers.len().saturating_sub(1));
            if let (Some(&(a, b)), Some(&(c, d))) = (t.numbers.get(k), t.numbers.get(k + 1)) {
                let swapped = [&bytes[c..d], &bytes[b..c], &bytes[a..b]].concat();
                bytes.splice(a..d, swapped);
            }
        }
        5 | 6 => {
            if let (Some(&(a, b)), Some(&(c, d))) =
                (random.pick(&t.references), random.pick(&t.references))
            {
                let other = bytes[c..d].to_vec();
                bytes.splice(a..b, other);
            }
        }
        7 => {
            if let Some(&at) = random.pick(&t.flags) {
                bytes[at] ^= b'T' ^ b'F';
            }
        }
        8 => {
            // An item of a list out, or twice.
            let k = random.below(t.commas.len().saturating_sub(1));
            if let (Some(&a), Some(&b)) = (t.commas.get(k), t.commas.get(k + 1)) {
                if random.below(2) == 0 {
                    bytes.drain(a..b);
                } else {
                    let item = bytes[a..b].to_vec();
                    bytes.splice(b..b, item);
                }
            }
        }
        _ => {
            if let Some(&(a, b)) = random.pick(&t.statements) {
                bytes.drain(a..b);
            }
        }
    }
}
