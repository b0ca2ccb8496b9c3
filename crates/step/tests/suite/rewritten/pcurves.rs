//! Edges that the file gives in the parameters of surfaces.

use super::meaning::in_degrees;
use super::{Text, assert_same, load, number, split};

/// Curves in space and on surfaces agree to the kernel's tolerance of 1e-7 mm where both are exact
/// and to 1e-5 mm or so where they are approximated.
const CLOSE: f64 = 1e-6;

/// Files with every edge given in the parameters of its surfaces too.
const WITH_PCURVES: [&str; 10] = [
    "bracket_with_pcurves",
    "bracket_inch",
    "cone_through_torus",
    "cylinder_seam_notched",
    "fillet_all_edges",
    "loft_smooth",
    "nurbs_bracket",
    "revolved_spline",
    "shelled_revolved_spline",
    "voids",
];

fn surface_curves(text: &Text) -> Vec<u64> {
    ["SURFACE_CURVE", "SEAM_CURVE"]
        .iter()
        .flat_map(|k| text.all(k))
        .collect()
}

#[test]
fn edges_with_curves_on_surfaces_only() {
    for name in WITH_PCURVES {
        let text = Text::of(name);
        let want = load(&text.written());
        assert!(want.watertight(), "{name}");
        let curves = surface_curves(&text);
        assert!(!curves.is_empty(), "{name}");
        for which in 0..2 {
            let text = on_surfaces_only(&text, which);
            assert_same(
                &format!("{name}, form {which}"),
                &load(&text.written()),
                &want,
                CLOSE,
            );
            // Some systems keep parameters in radians where the file has degrees.
            let text = in_degrees(&text);
            assert_same(
                &format!("{name}, form {which}, degrees"),
                &load(&text.written()),
                &want,
                CLOSE,
            );
        }
    }
}

/// The file with its edges given on one of their two surfaces.
fn on_surfaces_only(text: &Text, which: usize) -> Text {
    let mut text = text.clone();
    let curves = surface_curves(&text);
    let mut replaced = 0;
    for edge in text.all("EDGE_CURVE") {
        let (_, mut fields) = text.simple(edge);
        let curve = number(&fields[3]);
        if !curves.contains(&curve) {
            continue;
        }
        let (_, of_curve) = text.simple(curve);
        let forms = split(of_curve[2].trim_matches(['(', ')']), ',');
        fields[3] = forms[which.min(forms.len() - 1)].clone();
        text.instances
            .insert(edge, format!("EDGE_CURVE({})", fields.join(",")));
        replaced += 1;
    }
    assert!(replaced > 0);
    // Nothing is left to fall back to.
    for curve in &curves {
        text.instances.remove(curve);
    }
    text
}

#[test]
fn surface_curves_whose_curve_in_space_is_missing_or_strange() {
    for name in WITH_PCURVES {
        let text = Text::of(name);
        let want = load(&text.written());
        for strange in [false, true] {
            let mut text = text.clone();
            for curve in surface_curves(&text) {
                let (keyword, mut fields) = text.simple(curve);
                let keyword = keyword.to_string();
                if strange {
                    let in_space = number(&fields[1]);
                    text.instances
                        .insert(in_space, "CLOTHOID('',#1,1.,2.)".into());
                } else {
                    fields[1] = "$".into();
                }
                text.instances
                    .insert(curve, format!("{keyword}({})", fields.join(",")));
            }
            let got = load(&text.written());
            assert_same(&format!("{name}, strange {strange}"), &got, &want, CLOSE);
            let said = got
                .reservations
                .iter()
                .any(|r| !r.loses_geometry && r.text.contains("parameters of a surface is taken"));
            assert!(said, "{name}: {:?}", got.reservations);
        }
    }
}
