//! Parts moved in an open layout: what stands on them and what joins them comes along, and pipes stay square.

use loftwright::geom::Point;
use loftwright::layout::{Edit, End, Frame, Id, Layout, Part, Run, Traces};
use loftwright::session::Session;
use loftwright::units::{Length, Size};

fn open() -> Session {
    let text = include_str!("../../examples/sound_indirect.loft.ron");
    Session::new(loftwright::file::parse(text, "sound_indirect").expect("reads"))
}

fn shift(session: &mut Session, ids: &[&str], right: f64, up: f64) {
    let parts = ids.iter().map(|id| Id::of(id)).collect();
    session.edit("Move", &Edit::Shift { parts, right: Length::mm(right), up: Length::mm(up) }).expect("fits");
}

fn run<'a>(layout: &'a Layout, id: &str) -> &'a Run {
    layout.runs.iter().find(|run| run.id.as_str() == id).expect("there")
}

/// The stretches of every run that lie neither level nor upright, give or take a fall.
fn aslant(layout: &Layout) -> Vec<String> {
    let traces = Traces::of(layout);
    let lines = layout.runs.iter().enumerate().filter_map(|(number, run)| Some((run, traces.line(number)?)));
    let off = |(run, line): (&Run, &loftwright::geom::Polyline)| {
        let slant = line.segments().find(|(from, to)| {
            let size = (*to - *from).abs();
            size.min_element() > 0.2 * size.max_element()
        });
        slant.map(|(from, to)| format!("{} from {from} to {to}", run.id))
    };
    lines.filter_map(off).collect()
}

fn point(layout: &Layout, run: &str, bend: usize) -> (f64, f64) {
    let bend = self::run(layout, run).via[bend];
    (bend.x.to_mm(), bend.z.to_mm())
}

#[test]
fn far_moves_leave_no_pipe_aslant() {
    let moves: [(&[&str], f64, f64); 6] = [
        (&["cistern"], 0.0, 900.0),
        (&["cistern"], 1500.0, 0.0),
        (&["cistern"], -600.0, -300.0),
        (&["cylinder"], 900.0, 200.0),
        (&["cylinder"], -700.0, -250.0),
        (&["bath", "basin"], 400.0, 150.0),
    ];
    assert_eq!(aslant(open().layout()), Vec::<String>::new());
    for (ids, right, up) in moves {
        let mut session = open();
        shift(&mut session, ids, right, up);
        assert_eq!(aslant(session.layout()), Vec::<String>::new(), "after {ids:?} by {right}, {up}");
    }
}

#[test]
fn a_cistern_pushed_past_its_drop_pushes_the_drop_along() {
    let mut session = open();
    shift(&mut session, &["cistern"], 1000.0, 0.0);
    let layout = session.layout();
    let side = layout.cisterns[0].span_mm().1;
    let (drop, _) = point(layout, "cold-feed", 0);
    assert!(drop > side, "the drop is at {drop}, the cistern ends at {side}");
    assert_eq!(point(layout, "cold-feed", 1).0, drop);
}

#[test]
fn the_main_in_the_house_stays_while_a_level_stretch_takes_the_movement_up() {
    let main = |session: &Session| {
        let main = run(session.layout(), "rising-main");
        let End::Onward(begins) = main.from else { panic!("{:?}", main.from) };
        (begins, main.via.clone())
    };
    // 420 mm from the riser to the cistern.
    for right in [1000.0, -300.0] {
        let mut session = open();
        let before = main(&session);
        shift(&mut session, &["cistern"], right, 0.0);
        assert_eq!(main(&session), before, "by {right} mm");
    }
    // Where that is too short, a level stretch in the loft takes up what is left.
    let mut session = open();
    let mut bent = run(session.layout(), "rising-main").clone();
    bent.from = End::Onward(Point::mm(300.0, 300.0));
    bent.via = [(300.0, 5000.0), (1080.0, 5000.0), (1080.0, 5778.0)].map(|(x, z)| Point::mm(x, z)).to_vec();
    session.edit("Bend the main", &Edit::Put(Box::new(Part::Run(bent)))).expect("fits");
    let before = main(&session);
    shift(&mut session, &["cistern"], -500.0, 0.0);
    let after = main(&session);
    assert_eq!((after.0, after.1[0]), (before.0, before.1[0]));
    assert_eq!(after.1[1..], [Point::mm(940.0, 5000.0), Point::mm(940.0, 5778.0)]);
}

#[test]
fn a_branch_follows_the_run_that_it_is_on() {
    let mut session = open();
    let before = Traces::of(session.layout());
    let number = session.layout().runs.iter().position(|run| run.id.as_str() == "open-vent").expect("there");
    let start = before.line(number).expect("a line").point_at(0.0);
    shift(&mut session, &["cylinder"], 0.0, 30.0);
    let layout = session.layout();
    let now = Traces::of(layout).line(number).expect("a line").point_at(0.0);
    assert!((now - start).abs().max_element() < 1.0, "the vent's foot stays on the draw-off, which did not move there");
    assert_eq!(run(layout, "open-vent").to, End::Open(Point::mm(2300.0, 6000.0)));
}

#[test]
fn a_typed_level_is_followed_like_a_drag() {
    let mut session = open();
    let mut cistern = session.layout().cisterns[0].clone();
    cistern.at = cistern.at.moved(glam::dvec2(0.0, 400.0));
    session.edit("Raise cistern", &Edit::Put(Box::new(Part::Cistern(cistern)))).expect("fits");
    assert_eq!(point(session.layout(), "cold-feed", 0), (2740.0, 5758.0));
    assert_eq!(aslant(session.layout()), Vec::<String>::new());
}

#[test]
fn a_hole_that_is_moved_takes_its_pipe_along() {
    let mut session = open();
    let mut cistern = session.layout().cisterns[0].clone();
    cistern.connections[1].on = cistern.connections[1].on.with_distance(Length::mm(130.0));
    session.edit("Raise hole", &Edit::Put(Box::new(Part::Cistern(cistern)))).expect("fits");
    assert_eq!(point(session.layout(), "cold-feed", 0), (2740.0, 5408.0));
}

#[test]
fn a_run_that_is_nudged_stays_joined_and_square() {
    let mut session = open();
    shift(&mut session, &["cold-feed"], 80.0, 25.0);
    let layout = session.layout();
    assert_eq!(point(layout, "cold-feed", 0), (2820.0, 5358.0));
    assert_eq!(aslant(layout), Vec::<String>::new());
}

#[test]
fn a_drain_cock_keeps_its_distance_from_the_foot() {
    let from_foot = |session: &Session| {
        let layout = session.layout();
        let number = layout.runs.iter().position(|run| run.id.as_str() == "primary-return").expect("there");
        let length = Traces::of(layout).line(number).expect("a line").length();
        length - layout.runs[number].fittings.as_ref().expect("told")[0].at.to_mm()
    };
    let mut session = open();
    let before = from_foot(&session);
    shift(&mut session, &["boiler"], 0.0, -300.0);
    assert!((before - from_foot(&session)).abs() < 0.5, "it was {before} from the foot, now {}", from_foot(&session));
}

#[test]
fn a_platform_carries_what_stands_on_it() {
    let session = open();
    let moving = |id| session.layout().with_what_stands_on(&Id::of(id));
    assert_eq!(moving("cistern-platform"), [Id::of("cistern-platform"), Id::of("cistern")]);
    assert_eq!(moving("cylinder-platform"), [Id::of("cylinder-platform"), Id::of("cylinder")]);
    assert_eq!(moving("cistern"), [Id::of("cistern")]);
}

/// Its foot stays where it stands; of a frame that would be no more, what was told stays.
#[test]
fn a_frame_grows_with_its_platform() {
    let mut session = open();
    let mut platform = session.layout().platforms[0].clone();
    platform.frame = Some(Frame { height: Size::mm(450.0) });
    session.edit("Tell the frame", &Edit::Put(Box::new(Part::Platform(platform)))).expect("fits");
    let height_mm = |session: &Session| session.layout().platforms[0].frame.expect("a frame").height.to_mm();
    shift(&mut session, &["cistern-platform"], 100.0, 150.0);
    assert_eq!(height_mm(&session), 600.0);
    shift(&mut session, &["cistern-platform"], 0.0, -550.0);
    assert_eq!(height_mm(&session), 50.0);
    shift(&mut session, &["cistern-platform"], 0.0, -50.0);
    assert_eq!(height_mm(&session), 50.0);
}
