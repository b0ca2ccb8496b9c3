//! What a STEP file says about shape, after units and placements are applied: solids, shells,
//! faces, loops and edges, with their exact curves and surfaces. Lengths in millimetres, angles in
//! radians. Nothing here knows the file syntax (that is `part21`) or triangles (`tessellate`).

use glam::{DMat4, DVec2, DVec3};

/// Number of a Part 21 instance (`#123`), kept so every message can name the entity it is about.
pub type EntityId = u64;

/// Right-handed placement: origin and orthonormal axes. `z` is the axis of round surfaces.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    /// Origin, mm.
    pub origin: DVec3,
    /// Unit X direction (where the angular parameter u is zero).
    pub x: DVec3,
    /// Unit Y direction, `z` cross `x`.
    pub y: DVec3,
    /// Unit Z direction, the axis.
    pub z: DVec3,
}

/// B-spline curve, rational when `weights` is given. Knots are expanded (no multiplicities).
#[derive(Clone, Debug, PartialEq)]
pub struct BSplineCurve {
    /// Polynomial degree, at least 1.
    pub degree: usize,
    /// Control points, mm.
    pub points: Vec<DVec3>,
    /// Weights, one per point, all positive; `None` when not rational.
    pub weights: Option<Vec<f64>>,
    /// Non-decreasing knots, `points.len() + degree + 1` of them.
    pub knots: Vec<f64>,
    /// True when start and end coincide by construction.
    pub closed: bool,
}

/// B-spline surface, row-major control net: `points[i * v_count + j]`, i along u.
#[derive(Clone, Debug, PartialEq)]
pub struct BSplineSurface {
    /// Degree along u.
    pub u_degree: usize,
    /// Degree along v.
    pub v_degree: usize,
    /// Number of control points along u.
    pub u_count: usize,
    /// Number of control points along v.
    pub v_count: usize,
    /// Control net, mm.
    pub points: Vec<DVec3>,
    /// Weights in the same order; `None` when not rational.
    pub weights: Option<Vec<f64>>,
    /// Expanded knots along u.
    pub u_knots: Vec<f64>,
    /// Expanded knots along v.
    pub v_knots: Vec<f64>,
}

/// A curve in space. Parameters are radians on conics, knot values on splines, and the file's
/// own parameter elsewhere.
#[derive(Clone, Debug, PartialEq)]
#[allow(
    missing_docs,
    reason = "the fields are those of the formula beside them"
)]
pub enum Curve {
    /// `origin + t * direction`; `direction` carries the magnitude of the STEP vector.
    Line {
        /// Point at t = 0, mm.
        origin: DVec3,
        /// Derivative, mm.
        direction: DVec3,
    },
    /// Circle in the frame's XY plane.
    Circle {
        /// Centre and plane.
        frame: Frame,
        /// Radius, mm.
        radius: f64,
    },
    /// Ellipse in the frame's XY plane, `rx` along X.
    Ellipse {
        /// Centre and plane.
        frame: Frame,
        /// Semi-axis along X, mm.
        rx: f64,
        /// Semi-axis along Y, mm.
        ry: f64,
    },
    /// `origin + focal * (t^2 x + 2 t y)`.
    Parabola {
        /// Vertex and plane.
        frame: Frame,
        /// Focal distance, mm.
        focal: f64,
    },
    /// `origin + rx cosh t x + ry sinh t y`.
    Hyperbola {
        /// Centre and plane.
        frame: Frame,
        /// Semi-axis along X, mm.
        rx: f64,
        /// Semi-axis along Y, mm.
        ry: f64,
    },
    /// Straight pieces; parameter is the index of the point.
    Polyline {
        /// Corners, at least two, mm.
        points: Vec<DVec3>,
    },
    /// B-spline, rational or not.
    BSpline(BSplineCurve),
    /// Part of a basis curve between two parameters (`same_sense` false runs backwards).
    Trimmed {
        /// Curve it is part of.
        basis: Box<Curve>,
        /// Parameter of the start.
        t0: f64,
        /// Parameter of the end.
        t1: f64,
        /// True when it runs with growing parameter.
        same_sense: bool,
    },
    /// Segments end to end; each with its sense.
    Composite {
        /// Pieces in order.
        segments: Vec<(Curve, bool)>,
    },
    /// Offset of a basis curve in the plane normal to `reference` by `distance`.
    Offset {
        /// What it keeps a distance to.
        basis: Box<Curve>,
        /// Signed distance, mm.
        distance: f64,
        /// Unit normal of the plane in which it is offset.
        reference: DVec3,
    },
    /// Curve in the parameters of a surface that has no simpler form in space.
    OnSurface(Box<CurveOnSurface>),
}

/// A curve in the parameters of a surface (`PCURVE`).
#[derive(Clone, Debug, PartialEq)]
pub struct CurveOnSurface {
    /// The surface.
    pub surface: Surface,
    /// The curve; its x and y times `unit` are u and v, its z is nothing.
    pub uv: Curve,
    /// What one step along u and v is, mm or rad or a knot value.
    pub unit: DVec2,
    /// Ends of u and v where the surface does not close.
    pub(crate) limits: [Option<[f64; 2]>; 2],
    /// Parameters between which the curve lies on the surface, where they have ends.
    pub(crate) range: Option<[f64; 2]>,
}

/// A surface. Parameters (u, v) follow ISO 10303-42: u is the angle about the axis on round
/// surfaces, v the height along it (plane: x, y; sphere and torus: v the second angle).
#[derive(Clone, Debug, PartialEq)]
#[allow(
    missing_docs,
    reason = "the fields are those of the formula beside them"
)]
pub enum Surface {
    /// Plane through the frame's origin, normal `z`.
    Plane {
        /// Origin and axes.
        frame: Frame,
    },
    /// Cylinder about `z`.
    Cylinder {
        /// Axis along Z.
        frame: Frame,
        /// Radius, mm.
        radius: f64,
    },
    /// Cone about `z`: radius at v = 0, growing with v by tan(half_angle).
    Cone {
        /// Axis along Z.
        frame: Frame,
        /// Radius at v = 0, mm.
        radius: f64,
        /// Angle between axis and side, rad.
        half_angle: f64,
    },
    /// Sphere centred on the origin.
    Sphere {
        /// Centre and poles.
        frame: Frame,
        /// Radius, mm.
        radius: f64,
    },
    /// Torus about `z`; `minor > major` is the degenerate (spindle) torus, of which STEP keeps the
    /// outer part when `select_outer`.
    Torus {
        /// Centre and axis along Z.
        frame: Frame,
        /// Distance of the tube from the axis, mm.
        major: f64,
        /// Radius of the tube, mm.
        minor: f64,
        /// Of a spindle torus: the outer part, not the inner.
        select_outer: bool,
    },
    /// B-spline, rational or not.
    BSpline(Box<BSplineSurface>),
    /// `curve(u) + v * direction`.
    Extrusion {
        /// Curve that is moved.
        curve: Box<Curve>,
        /// Derivative along v, mm.
        direction: DVec3,
    },
    /// `curve(v)` turned about the axis by u.
    Revolution {
        /// Curve that is turned.
        curve: Box<Curve>,
        /// Point of the axis, mm.
        origin: DVec3,
        /// Unit direction of the axis.
        axis: DVec3,
    },
    /// Offset along the basis surface's normal.
    Offset {
        /// What it keeps a distance to.
        basis: Box<Surface>,
        /// Signed distance, mm.
        distance: f64,
    },
    /// Basis surface limited to a rectangle of parameters; kept only for its sense and limits.
    RectangularTrimmed {
        /// Surface it is part of.
        basis: Box<Surface>,
        /// Limits along u.
        u: [f64; 2],
        /// Limits along v.
        v: [f64; 2],
        /// True when u grows as on the basis.
        u_sense: bool,
        /// True when v grows as on the basis.
        v_sense: bool,
    },
}

/// An edge, shared by the faces that meet in it.
#[derive(Clone, Debug)]
pub struct Edge {
    /// `EDGE_CURVE` instance.
    pub id: EntityId,
    /// Curve it lies on.
    pub curve: Curve,
    /// Index of the start vertex in [`Solid::vertices`].
    pub start: usize,
    /// Index of the end vertex; equal to `start` for a closed edge.
    pub end: usize,
    /// True when the edge runs from start to end with growing curve parameter.
    pub same_sense: bool,
}

/// One use of an edge in a loop.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct EdgeUse {
    /// Index in [`Solid::edges`].
    pub edge: usize,
    /// True when the loop runs along the edge from its start to its end.
    pub forward: bool,
}

/// One boundary of a face, oriented so that the face lies to its left seen from outside
/// (from the side the face normal points to), after the bound's own orientation is applied.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Loop {
    /// Edges end to end.
    Edges(Vec<EdgeUse>),
    /// A single vertex (apex of a cone, pole of a sphere); index in [`Solid::vertices`].
    Vertex(usize),
    /// `POLY_LOOP`: straight edges between vertices.
    Poly(Vec<usize>),
}

/// A face: a surface, its sense, and its boundaries.
#[derive(Clone, Debug)]
pub struct Face {
    /// `ADVANCED_FACE` (or `FACE_SURFACE`) instance.
    pub id: EntityId,
    /// The surface it lies on.
    pub surface: Surface,
    /// True when the outward normal is the surface's own normal (du x dv).
    pub same_sense: bool,
    /// Boundaries; none at all means the whole closed surface.
    pub loops: Vec<Loop>,
    /// Which loop the file calls outer, if it does.
    pub outer: Option<usize>,
}

/// A solid (or, when `closed` is false, a bare shell), in the coordinates of the file's root.
#[derive(Clone, Debug)]
pub struct Solid {
    /// Solid or shell-based-model instance.
    pub id: EntityId,
    /// Product name, as far as one is found.
    pub name: String,
    /// Vertex positions, mm, in the solid's own coordinates.
    pub vertices: Vec<DVec3>,
    /// Edges shared between faces.
    pub edges: Vec<Edge>,
    /// Faces of all shells, outward normals pointing out of the material (void shells included).
    pub faces: Vec<Face>,
    /// Where the solid stands: root_from_solid, one per occurrence in the assembly. A negative
    /// determinant mirrors; a scale other than 1 scales.
    pub placements: Vec<DMat4>,
    /// False for an open or merely surface-based shell.
    pub closed: bool,
    /// Uncertainty stated for its context, mm, used for sewing; `None` when not stated.
    pub uncertainty_mm: Option<f64>,
    /// Validation properties the file carries for it.
    pub stated: StatedProperties,
}

/// Geometric validation properties a file may carry (recommended practice for STEP).
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct StatedProperties {
    /// Volume, mm^3.
    pub volume_mm3: Option<f64>,
    /// Surface area, mm^2.
    pub area_mm2: Option<f64>,
    /// Centroid, mm.
    pub centroid_mm: Option<DVec3>,
}

/// Validation properties stated for a product of several solids, all together.
#[derive(Clone, Debug)]
pub struct StatedTotal {
    /// `PRODUCT_DEFINITION` instance.
    pub product: EntityId,
    /// Indices in [`Brep::solids`]; each counts once, however often it occurs in an assembly.
    pub solids: Vec<usize>,
    /// What the file states.
    pub stated: StatedProperties,
}

/// Ready-made triangles from a file with tessellated geometry only.
#[derive(Clone, Debug)]
pub struct TessellatedSolid {
    /// `TESSELLATED_SOLID` (or shell, or face set) instance.
    pub id: EntityId,
    /// Product name, as far as one is found.
    pub name: String,
    /// Vertex positions, mm.
    pub vertices: Vec<DVec3>,
    /// Corner indices, counter-clockwise seen from outside.
    pub triangles: Vec<[u32; 3]>,
    /// For every triangle the number of its face within this solid.
    pub face_of_triangle: Vec<u32>,
    /// root_from_solid, one per occurrence.
    pub placements: Vec<DMat4>,
}

/// Something that could not be read, or was read with a reservation.
#[derive(Clone, Debug, PartialEq)]
pub struct Reservation {
    /// Instance it is about.
    pub entity: Option<EntityId>,
    /// Name of the entity type, e.g. `ADVANCED_FACE`.
    pub kind: String,
    /// What is wrong and what was done about it.
    pub text: String,
    /// True when geometry is missing from the result because of it.
    pub loses_geometry: bool,
}

/// Everything of a file that is shape.
#[derive(Clone, Debug, Default)]
pub struct Brep {
    /// Schema named in the header.
    pub schema: String,
    /// Length unit(s) as the file names them ("mm", "inch", ...), for the reader's eye.
    pub length_units: Vec<String>,
    /// Exact solids and shells.
    pub solids: Vec<Solid>,
    /// Validation properties of products that have several solids.
    pub stated_totals: Vec<StatedTotal>,
    /// Tessellated ones, only when the product has no exact shape.
    pub tessellated: Vec<TessellatedSolid>,
    /// Number of instances of faces in the file outside any solid (annotation planes and the like).
    pub loose_faces: usize,
    /// What was left out or doubtful.
    pub reservations: Vec<Reservation>,
}
