//! What the engine promises, checked from outside.

mod physics;
