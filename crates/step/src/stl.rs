//! Binary STL, coordinates in millimetres.

use crate::tessellate::Mesh;
use std::io::{self, Write};

/// Writes a mesh. STL keeps single precision and no units; the header says millimetres.
pub fn write_stl(mesh: &Mesh, out: &mut impl Write) -> io::Result<()> {
    let mut header = [b' '; 80];
    let title = b"firstchip mesh, unit mm";
    header[..title.len()].copy_from_slice(title);
    out.write_all(&header)?;
    let count = u32::try_from(mesh.triangles.len())
        .map_err(|_| io::Error::new(io::ErrorKind::InvalidInput, "too many triangles for STL"))?;
    out.write_all(&count.to_le_bytes())?;
    for i in 0..mesh.triangles.len() {
        let [a, b, c] = mesh.corners(i);
        let normal = (b - a).cross(c - a).normalize_or_zero();
        let mut record = [0_u8; 50];
        for (k, v) in [normal, a, b, c]
            .iter()
            .flat_map(|p| p.to_array())
            .enumerate()
        {
            record[4 * k..4 * k + 4].copy_from_slice(&(v as f32).to_le_bytes());
        }
        out.write_all(&record)?;
    }
    Ok(())
}
