//! Lessons: planted faults are exactly what the checker finds, keys mark themselves full, the same seed gives the same bytes.

mod demonstrations;
mod marking;
mod planting;
