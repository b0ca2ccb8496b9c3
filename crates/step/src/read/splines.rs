//! B-splines of all forms: with knots, uniform, quasi-uniform, Bezier; rational or not.

use glam::DVec3;

use super::fields::{Fields, Outcome, Trouble};
use super::placement::Geometry;
use crate::brep::{BSplineCurve, BSplineSurface};
use crate::part21::{Args, Entity};

/// Where the knots come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Form {
    Explicit,
    Uniform,
    QuasiUniform,
    Bezier,
}

impl Form {
    fn of(entity: &Entity<'_>, suffix: &str) -> Self {
        let is = |prefix: &str| entity.is(&format!("{prefix}{suffix}"));
        if is("BEZIER_") {
            Form::Bezier
        } else if is("QUASI_UNIFORM_") {
            Form::QuasiUniform
        } else if is("UNIFORM_") {
            Form::Uniform
        } else {
            Form::Explicit
        }
    }
}

impl<'a> Geometry<'_, '_, 'a> {
    pub fn spline_curve(&self, entity: Entity<'a>) -> Outcome<BSplineCurve> {
        let form = Form::of(&entity, "CURVE");
        let mut chain = vec!["REPRESENTATION_ITEM", "B_SPLINE_CURVE"];
        if form == Form::Explicit {
            chain.push("B_SPLINE_CURVE_WITH_KNOTS");
        }
        let rational = entity.is_complex() && entity.is("RATIONAL_B_SPLINE_CURVE");
        if rational {
            chain.push("RATIONAL_B_SPLINE_CURVE");
        }
        let mut fields = self.reader.fields(entity, &chain)?;
        let degree = degree(fields.skip(1)?)?;
        let points = self.points(&fields.references()?)?;
        let closed = fields.skip(1)?.logical(false)?;
        fields.skip(1)?;
        let knots = match form {
            Form::Explicit => {
                let multiplicities = fields.counts()?;
                let knots = fields.reals()?;
                fields.skip(1)?;
                expanded(&fields, points.len(), degree, &multiplicities, &knots)?
            }
            form => generated(form, points.len(), degree).map_err(|text| fields.fail(text))?,
        };
        let weights = if rational {
            Some(weights(&entity, fields.reals()?, points.len())?)
        } else {
            None
        };
        Ok(BSplineCurve {
            degree,
            points,
            weights,
            knots,
            closed,
        })
    }

    pub fn spline_surface(&self, entity: Entity<'a>) -> Outcome<BSplineSurface> {
        let form = Form::of(&entity, "SURFACE");
        let mut chain = vec!["REPRESENTATION_ITEM", "B_SPLINE_SURFACE"];
        if form == Form::Explicit {
            chain.push("B_SPLINE_SURFACE_WITH_KNOTS");
        }
        let rational = entity.is_complex() && entity.is("RATIONAL_B_SPLINE_SURFACE");
        if rational {
            chain.push("RATIONAL_B_SPLINE_SURFACE");
        }
        let mut fields = self.reader.fields(entity, &chain)?;
        let u_degree = degree(fields.skip(1)?)?;
        let v_degree = degree(&mut fields)?;
        let rows = fields.rows(Args::references)?;
        let (u_count, v_count) = (rows.len(), rows.first().map_or(0, Vec::len));
        if rows.iter().any(|row| row.len() != v_count) {
            return Err(fields.fail("rows of control points differ in length"));
        }
        let mut points: Vec<DVec3> = Vec::with_capacity(u_count * v_count);
        for row in &rows {
            for id in row {
                points.push(self.point(*id)?);
            }
        }
        fields.skip(4)?;
        let (u_knots, v_knots) = match form {
            Form::Explicit => {
                let u_multiplicities = fields.counts()?;
                let v_multiplicities = fields.counts()?;
                let u_knots = fields.reals()?;
                let v_knots = fields.reals()?;
                fields.skip(1)?;
                (
                    expanded(&fields, u_count, u_degree, &u_multiplicities, &u_knots)?,
                    expanded(&fields, v_count, v_degree, &v_multiplicities, &v_knots)?,
                )
            }
            form => (
                generated(form, u_count, u_degree).map_err(|text| fields.fail(text))?,
                generated(form, v_count, v_degree).map_err(|text| fields.fail(text))?,
            ),
        };
        let weights = if rational {
            let rows = fields.rows(Args::reals)?;
            Some(weights(&entity, rows.concat(), points.len())?)
        } else {
            None
        };
        Ok(BSplineSurface {
            u_degree,
            v_degree,
            u_count,
            v_count,
            points,
            weights,
            u_knots,
            v_knots,
        })
    }
}

/// Degrees beyond 25 are refused by the kernels that write these files; a bound keeps evaluation
/// from being quadratic in a number somebody made up.
const MAX_DEGREE: usize = 64;

fn degree(fields: &mut Fields<'_>) -> Outcome<usize> {
    let degree = fields.count()?;
    if (1..=MAX_DEGREE).contains(&degree) {
        Ok(degree)
    } else {
        Err(fields.fail(format!("a spline of degree {degree}")))
    }
}

/// Knots with their multiplicities written out.
fn expanded(
    fields: &Fields<'_>,
    count: usize,
    degree: usize,
    multiplicities: &[usize],
    knots: &[f64],
) -> Outcome<Vec<f64>> {
    let total = multiplicities
        .iter()
        .fold(0usize, |sum, m| sum.saturating_add(*m));
    if multiplicities.len() != knots.len() || total != count + degree + 1 || count <= degree {
        return Err(fields.fail(format!(
            "{count} control points of degree {degree} need {} knots, found {total}",
            count + degree + 1
        )));
    }
    if knots.windows(2).any(|pair| pair[0] > pair[1]) {
        return Err(fields.fail("knots decrease"));
    }
    let written_out: Vec<f64> = knots
        .iter()
        .zip(multiplicities)
        .flat_map(|(knot, multiplicity)| std::iter::repeat_n(*knot, *multiplicity))
        .collect();
    if written_out[degree] >= written_out[count] {
        return Err(fields.fail("a spline over an empty range of knots"));
    }
    Ok(written_out)
}

/// Knots of the forms that state none, ISO 10303-42 `default_b_spline_knots`.
fn generated(form: Form, count: usize, degree: usize) -> Result<Vec<f64>, String> {
    if count <= degree {
        return Err(format!(
            "{count} control points are too few for degree {degree}"
        ));
    }
    let total = count + degree + 1;
    Ok(match form {
        Form::Uniform => (0..total).map(|i| i as f64 - degree as f64).collect(),
        Form::Bezier => {
            if !(count - 1).is_multiple_of(degree) {
                return Err(format!(
                    "{count} control points make no whole Bezier pieces of degree {degree}"
                ));
            }
            let pieces = (count - 1) / degree;
            let inner = (0..=pieces).flat_map(|k| std::iter::repeat_n(k as f64, degree));
            std::iter::once(0.0)
                .chain(inner)
                .chain(std::iter::once(pieces as f64))
                .collect()
        }
        Form::QuasiUniform | Form::Explicit => {
            let spans = count - degree;
            (0..total)
                .map(|i| i.saturating_sub(degree).min(spans) as f64)
                .collect()
        }
    })
}

fn weights(entity: &Entity<'_>, weights: Vec<f64>, count: usize) -> Outcome<Vec<f64>> {
    if weights.len() != count {
        return Err(Trouble::of(
            entity,
            format!("{} weights for {count} control points", weights.len()),
        ));
    }
    if weights.iter().any(|w| *w <= 0.0) {
        return Err(Trouble::of(entity, "a weight is not positive"));
    }
    Ok(weights)
}
