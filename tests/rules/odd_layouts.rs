//! Layouts that are right or wrong in ways that a hasty measure would miss.

use loftwright::layout::Layout;
use loftwright::rules::{self, Verdict};

use super::{findings_of, heaviest};

/// The heaviest verdict of a rule on a layout whose inner text is given; `None` when it is not asked.
fn verdict(rule: &str, text: &str) -> Option<Verdict> {
    let options = ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME);
    let layout: Layout = options.from_str(&format!("(format: 1, {text})")).expect("a layout");
    assert_eq!(layout.broken_references(), [], "{text}");
    heaviest(&findings_of(rules::rule(rule).expect("a rule"), &layout))
}

/// A cistern from 0 to 1000 with its base at 2000, a cylinder from 1500 to 1900 with its top at 1000, and the feed.
fn fed_cylinder(cistern: &str, cylinder: &str, feed: &str, more_runs: &str) -> String {
    format!(
        r#"cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, height: 500, {cistern}
            connections: [(port: "feed", on: Right(75)), (port: "cold", on: Right(50)), (port: "warning", on: Left(445.1))])],
        cylinders: [(id: "cylinder", at: (1500, 0), diameter: 400, height: 1000, {cylinder})],
        runs: [
            (id: "cold-feed", service: ColdFeed, from: Port("cistern", "feed"),
                via: [(1250, 2075), (1250, 110)], to: Port("cylinder", "cold-inlet"), {feed}),
            {more_runs}
        ]"#
    )
}

#[test]
fn a_feed_and_expansion_cistern_does_not_hide_the_lone_storage_cistern() {
    let text = r#"cisterns: [
            (id: "cistern", role: Storage, at: (0, 1900), length: 1000, height: 500),
            (id: "expansion", role: FeedAndExpansion, at: (1200, 1900), length: 400, height: 300),
        ],
        cylinders: [(id: "cylinder", at: (1500, 0), diameter: 400, height: 1000)]"#;
    assert_eq!(verdict("cylinder-too-near-cistern", text), Some(Verdict::Breach));
}
