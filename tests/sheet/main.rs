//! Paper: the scene, its labels, its sheets and the files that are handed over.

#[path = "../example/mod.rs"]
mod example;
mod files;
mod fit;
mod labels;
mod load_path;
mod scene;
