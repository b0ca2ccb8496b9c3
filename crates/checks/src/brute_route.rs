//! A dense search of our own for the way of a rectangle through random rooms: every pose of a fine
//! grid is tried as it is, neighbours are joined. It shares no code with the planner it judges.

/// Side of the search's grid.
pub const STEP_MM: f64 = 12.5;
/// What the load is shrunk and grown by on every side: at least the planner's stated resolution
/// for boxes of 10 mm and loads of this size.
pub const MARGIN_MM: f64 = 27.0;
/// Size of every room.
pub const ROOM_MM: [f64; 2] = [2400.0, 1800.0];
/// Where the load starts, on the grid.
pub const START_MM: [f64; 2] = [450.0, 450.0];
/// Corners of the rectangle it must come to lie in.
pub const ZONE_MM: [[f64; 2]; 2] = [[1500.0, 900.0], [2400.0, 1800.0]];

/// A room with walls and a load.
#[derive(Clone, Debug)]
pub struct Room {
    /// Walls, the four sides first.
    pub walls: Vec<[[f64; 2]; 2]>,
    /// Length and width of the load.
    pub load: [f64; 2],
}

/// The room of a number.
pub fn room(number: u64) -> Room {
    let mut state = number.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ 0x5851_f42d_4c95_7f2d;
    let mut random = |low: f64, high: f64| {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        low + (high - low) * (state >> 11) as f64 / (1_u64 << 53) as f64
    };
    let [w, h] = ROOM_MM;
    let mut walls = vec![
        [[0.0, 0.0], [w, 0.0]],
        [[w, 0.0], [w, h]],
        [[w, h], [0.0, h]],
        [[0.0, h], [0.0, 0.0]],
    ];
    let load = [random(350.0, 800.0), random(200.0, 400.0)];
    // A partition with a gap about as wide as the load.
    let (x, lean) = (random(1000.0, 1400.0), random(-250.0, 250.0));
    let (at, gap) = (random(200.0, 1400.0), load[1] * random(0.9, 1.7));
    let on = |y: f64| [x + lean * (y / h - 0.5), y];
    walls.push([on(0.0), on((at - 0.5 * gap).max(0.0))]);
    walls.push([on((at + 0.5 * gap).min(h)), on(h)]);
    for _ in 0..3 {
        let (x, y, angle, length) = (
            random(0.0, w),
            random(0.0, h),
            random(0.0, std::f64::consts::TAU),
            random(150.0, 700.0),
        );
        walls.push([[x, y], [x + length * angle.cos(), y + length * angle.sin()]]);
    }
    Room { walls, load }
}

/// True when the search finds a way for the load grown by `grow` on every side.
pub fn passes(room: &Room, grow: f64) -> bool {
    let [a, b] = room.load.map(|side| 0.5 * side + grow);
    let turns = (std::f64::consts::PI * a.hypot(b) / STEP_MM).ceil() as usize;
    let [nx, ny] = ROOM_MM.map(|side| (side / STEP_MM) as usize + 1);
    let place = |i: usize, j: usize| [i as f64 * STEP_MM, j as f64 * STEP_MM];
    let turned: Vec<(f64, f64)> = (0..turns)
        .map(|k| (std::f64::consts::PI * k as f64 / turns as f64).sin_cos())
        .collect();
    let free = |i: usize, j: usize, k: usize| {
        let ([x, y], (sin, cos)) = (place(i, j), turned[k]);
        room.walls.iter().all(|wall| {
            let [p, q] = wall.map(|[u, v]| {
                let (u, v) = (u - x, v - y);
                [u * cos + v * sin, v * cos - u * sin]
            });
            !touches(p, q, a, b)
        })
    };
    let inside = |i: usize, j: usize, k: usize| {
        let ([x, y], (sin, cos)) = (place(i, j), turned[k]);
        let reach = [a * cos.abs() + b * sin.abs(), a * sin.abs() + b * cos.abs()];
        let [low, high] = ZONE_MM;
        (0..2).all(|n| [x, y][n] - reach[n] >= low[n] && [x, y][n] + reach[n] <= high[n])
    };
    let index = |i: usize, j: usize, k: usize| (k * ny + j) * nx + i;
    let mut seen = vec![false; nx * ny * turns];
    let [si, sj] = START_MM.map(|s| (s / STEP_MM) as usize);
    let mut open: Vec<[usize; 3]> = (0..turns).map(|k| [si, sj, k]).collect();
    open.iter()
        .for_each(|&[i, j, k]| seen[index(i, j, k)] = true);
    while let Some([i, j, k]) = open.pop() {
        if !free(i, j, k) {
            continue;
        }
        if inside(i, j, k) {
            return true;
        }
        let around = [
            [i.wrapping_sub(1), j, k],
            [i + 1, j, k],
            [i, j.wrapping_sub(1), k],
            [i, j + 1, k],
            [i, j, (k + 1) % turns],
            [i, j, (k + turns - 1) % turns],
        ];
        for [i, j, k] in around {
            if i < nx && j < ny && !seen[index(i, j, k)] {
                seen[index(i, j, k)] = true;
                open.push([i, j, k]);
            }
        }
    }
    false
}

/// True when a segment meets the rectangle |x| <= a, |y| <= b: clipped to it, something is left.
fn touches(p: [f64; 2], q: [f64; 2], a: f64, b: f64) -> bool {
    let (mut t0, mut t1) = (0.0_f64, 1.0_f64);
    for (n, half) in [(0, a), (1, b)] {
        let d = q[n] - p[n];
        for (room, slope) in [(p[n] + half, d), (half - p[n], -d)] {
            if slope == 0.0 {
                if room < 0.0 {
                    return false;
                }
            } else if slope > 0.0 {
                t0 = t0.max(-room / slope);
            } else {
                t1 = t1.min(-room / slope);
            }
        }
    }
    t0 <= t1
}
