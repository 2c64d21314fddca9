//! A platform made as large as the rules ask for what comes to stand on it.

use super::limits::Limits;
use super::positions::EASE_MM;
use crate::layout::{Cistern, Id, Layout, Lie, Platform};
use crate::rules::Profile;
use crate::units::{Length, Size};

/// An edge that is moved is laid out in steps of this, mm.
const STEP_MM: f64 = 5.0;
/// What lies within this of the edge that is asked for lies there, mm.
const SAME_MM: f64 = 0.1;

/// The platforms that a part is, or stands on, and that are too small for the cisterns on them: each as large as the
/// profile asks. What nobody has told, such as a depth, stays untold.
#[must_use]
pub fn wide_enough(layout: &Layout, part: &Id, profile: &Profile) -> Vec<Platform> {
    let out_mm = Limits::of(profile).asks("platform-overhang-too-small");
    let widened = |platform: &Platform| {
        let standing = layout.with_what_stands_on(&platform.id);
        let cisterns = layout.cisterns.iter().filter(|cistern| standing.contains(&cistern.id));
        let mut wide = platform.clone();
        if standing.contains(part) {
            cisterns.for_each(|cistern| reach_out(&mut wide, cistern, out_mm));
        }
        (wide != *platform).then_some(wide)
    };
    layout.platforms.iter().filter_map(widened).collect()
}

/// Lets a platform stand out so far round a cistern; the sides that do so already stay where they are.
fn reach_out(platform: &mut Platform, cistern: &Cistern, out_mm: f64) {
    let now = platform.span_mm();
    let asked = stretched(now, cistern.span_mm(), out_mm);
    platform.at = platform.at.moved(glam::dvec2(asked.0 - now.0, 0.0));
    platform.length = Size::mm(asked.1 - asked.0);
    let left_by_mm = now.0 - asked.0;
    let mut front_by_mm = 0.0;
    if let (Some(now), Some(faces)) = (platform.front_and_back_mm(), cistern.front_and_back_mm()) {
        let asked = stretched(now, faces, out_mm);
        platform.depth = Some(Size::mm(asked.1 - asked.0));
        platform.behind = Some(Length::mm(f64::midpoint(asked.0, asked.1)));
        front_by_mm = now.0 - asked.0;
    }
    // Bearers stay where they lie, and are told from an edge that has moved.
    if let Some(bearers) = &mut platform.bearers {
        let by_mm = match bearers.lie {
            Lie::EndOn => left_by_mm,
            Lie::Along => front_by_mm,
        };
        bearers.first = Length::mm(bearers.first.to_mm() + by_mm);
    }
}

/// Two edges, each moved out where it stands out too little.
fn stretched(edges: (f64, f64), within: (f64, f64), out_mm: f64) -> (f64, f64) {
    let step = |mm: f64| (mm / STEP_MM).ceil() * STEP_MM;
    let short = |out: f64| if out < out_mm - SAME_MM { step(out_mm + EASE_MM - out) } else { 0.0 };
    (edges.0 - short(within.0 - edges.0), edges.1 + short(edges.1 - within.1))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Point;
    use crate::layout::{Bearers, CisternRole};

    /// A cistern of 955 by 700 mm, a little aside, on a platform of 1250 by 950 mm.
    fn too_small() -> Layout {
        let cistern = Cistern {
            width: Some(Size::mm(700.0)),
            behind: Some(Length::ZERO),
            ..Cistern::new(
                Id::of("cistern"),
                CisternRole::Storage,
                Point::mm(140.0, 5000.0),
                Size::mm(955.0),
                Size::mm(600.0),
            )
        };
        let bearers = Bearers {
            count: 3,
            spacing: Size::mm(445.0),
            first: Length::mm(30.0),
            breadth: Size::mm(47.0),
            depth: Size::mm(97.0),
            lie: Lie::Along,
            grade: None,
        };
        let platform = Platform {
            depth: Some(Size::mm(950.0)),
            behind: Some(Length::ZERO),
            bearers: Some(bearers),
            ..Platform::new(Id::of("platform"), Point::mm(0.0, 5000.0), Size::mm(1250.0))
        };
        Layout { cisterns: vec![cistern], platforms: vec![platform], ..Layout::default() }
    }

    #[test]
    fn a_platform_reaches_out_as_far_as_is_asked_on_every_side() {
        let layout = too_small();
        for part in ["cistern", "platform"] {
            let wide = wide_enough(&layout, &Id::of(part), &Profile::default());
            let [platform] = &wide[..] else { panic!("one platform is too small: {wide:?}") };
            // It stands out 140 and 155 mm, and 125 mm in front and behind.
            assert_eq!(platform.span_mm(), (-15.0, 1250.0));
            assert_eq!(platform.front_and_back_mm(), Some((-505.0, 505.0)));
            let first_mm = platform.bearers.as_ref().expect("kept").first.to_mm();
            assert_eq!(first_mm, 60.0, "bearers stay where they lie");
        }
        assert!(wide_enough(&layout, &Id::of("elsewhere"), &Profile::default()).is_empty());
    }

    #[test]
    fn a_platform_that_is_large_enough_or_carries_no_cistern_stays_as_it_is() {
        let mut layout = too_small();
        let wide = wide_enough(&layout, &Id::of("cistern"), &Profile::default());
        layout.platforms = wide;
        assert!(wide_enough(&layout, &Id::of("cistern"), &Profile::default()).is_empty());
        layout = too_small();
        layout.cisterns.clear();
        assert!(wide_enough(&layout, &Id::of("platform"), &Profile::default()).is_empty());
    }
}
