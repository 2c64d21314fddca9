//! A layout with many times its pipes and outlets.

use loftwright::layout::{End, Id, Layout};

/// The layout with `times` as many runs and outlets; copies keep to each other and share the other parts.
pub fn multiplied(layout: &Layout, times: usize) -> Layout {
    let mut many = layout.clone();
    for copy in 1..times {
        let renamed = |id: &Id| Id::of(&format!("{id}-{copy}"));
        let is_copied =
            |id: &Id| layout.runs.iter().any(|run| run.id == *id) || layout.outlets.iter().any(|o| o.id == *id);
        let own = |end: &End| match end {
            End::Port(part, port) if is_copied(part) => End::Port(renamed(part), port.clone()),
            End::Tee(run, at) => End::Tee(renamed(run), *at),
            other => other.clone(),
        };
        many.outlets.extend(layout.outlets.iter().cloned().map(|mut outlet| {
            outlet.id = renamed(&outlet.id);
            outlet
        }));
        many.runs.extend(layout.runs.iter().cloned().map(|mut run| {
            run.id = renamed(&run.id);
            run.from = own(&run.from);
            run.to = own(&run.to);
            run
        }));
    }
    many
}
