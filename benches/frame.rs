//! How long one whole frame takes: derive, judge, scene, panels and tessellation, while a cistern is being dragged.
//!
//! Aim: under 4 ms for the largest example. A window at rest asks for no frame at all, which is counted over ten seconds.

mod growing;

use criterion::{Criterion, criterion_group, criterion_main};
use egui::{Context, RawInput, Rect, pos2, vec2};
use loftwright::desk::{Action, Command, Desk, Grip, set_up};
use loftwright::session::Session;

const SIZE: egui::Vec2 = vec2(1400.0, 900.0);

struct Window {
    ctx: Context,
    desk: Desk,
    now_s: f64,
}

impl Window {
    fn open() -> Self {
        let ctx = Context::default();
        set_up(&ctx);
        let mut window =
            Self { ctx, desk: Desk::new(Session::new(growing::multiplied(&growing::largest(), 1))), now_s: 0.0 };
        for _ in 0..10 {
            window.frame();
        }
        window
    }

    /// One frame up to the triangles; when the next one is wanted, s.
    fn frame(&mut self) -> f64 {
        let input = RawInput {
            screen_rect: Some(Rect::from_min_size(pos2(0.0, 0.0), SIZE)),
            time: Some(self.now_s),
            ..RawInput::default()
        };
        self.now_s += 1.0 / 60.0;
        let desk = &mut self.desk;
        let mut output = self.ctx.run_ui(input, |ui| {
            desk.logic(ui.ctx());
            desk.ui(ui);
        });
        output.textures_delta.clear();
        std::hint::black_box(self.ctx.tessellate(output.shapes, output.pixels_per_point));
        output.viewport_output[&egui::ViewportId::ROOT].repaint_delay.as_secs_f64()
    }
}

fn frame(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("frame");
    let mut window = Window::open();
    let part = window.desk.session().layout().cisterns[0].id.clone();
    window.desk.push(Action::BeginGesture("Move cistern".to_owned()));
    let mut up_mm = 0.0;
    group.bench_function("while a cistern is dragged", |bencher| {
        bencher.iter(|| {
            up_mm = if up_mm > 100.0 { 0.0 } else { up_mm + 1.0 };
            let layout = window.desk.session().layout();
            let edit = Grip::Part(part.clone()).moved(layout, glam::dvec2(0.0, up_mm));
            window.desk.push(Action::Gesture(vec![edit]));
            window.frame()
        });
    });
    window.desk.push(Action::Command(Command::Undo));
    window.frame();
    group.bench_function("of a drawing at rest", |bencher| bencher.iter(|| window.frame()));
    group.finish();

    let mut window = Window::open();
    let (mut frames, until_s) = (0, window.now_s + 10.0);
    while window.now_s < until_s && frames < 1000 {
        let delay_s = window.frame();
        if window.now_s + delay_s < until_s {
            frames += 1;
        }
        window.now_s += delay_s;
    }
    eprintln!("frames that a window at rest asks for in ten seconds: {frames}");
}

criterion_group!(benches, frame);
criterion_main!(benches);
