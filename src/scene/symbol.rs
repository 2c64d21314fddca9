//! The figures of symbols, in paper millimetres: x runs along the pipe, y to its side.

use glam::{DVec2, dvec2};

use super::Symbol;
use super::outline::{arc, circle};
use crate::rules::Verdict;

/// One stroke of a symbol.
#[derive(Debug, Clone, PartialEq)]
pub enum Figure {
    /// An open line.
    Line(Vec<DVec2>),
    /// A closed convex area of paper, outlined.
    Open(Vec<DVec2>),
    /// A closed convex area filled with the symbol's ink.
    Filled(Vec<DVec2>),
}

impl Symbol {
    /// The strokes of the symbol, back to front.
    #[must_use]
    pub fn figures(self) -> Vec<Figure> {
        match self {
            Self::GateValve => {
                let mut figures = bow_tie(Figure::Open);
                figures.extend([line(&[(0.0, 0.0), (0.0, 1.4)]), line(&[(-0.6, 1.4), (0.6, 1.4)])]);
                figures
            }
            Self::LeverValve => {
                let mut figures = bow_tie(Figure::Open);
                figures.extend([line(&[(0.0, 0.0), (0.0, 1.0), (1.6, 1.4)])]);
                figures
            }
            Self::StopValve => {
                let mut figures = bow_tie(Figure::Filled);
                figures.extend([line(&[(0.0, 0.0), (0.0, 1.4)]), line(&[(-0.6, 1.4), (0.6, 1.4)])]);
                figures
            }
            Self::ServiceValve => {
                vec![
                    Figure::Open(circle(DVec2::ZERO, 0.9)),
                    line(&[(-0.9, 0.0), (0.9, 0.0)]),
                    line(&[(0.0, -0.55), (0.0, 0.55)]),
                ]
            }
            Self::NonReturnValve => {
                vec![Figure::Open(points(&[(-1.1, -0.9), (1.0, 0.0), (-1.1, 0.9)])), line(&[(1.1, -1.0), (1.1, 1.0)])]
            }
            Self::DrainCock => vec![
                line(&[(0.0, 0.0), (0.0, -1.1)]),
                Figure::Filled(points(&[(-0.75, -1.1), (0.75, -1.1), (0.0, -2.1)])),
                line(&[(-0.75, -2.3), (0.75, -2.3)]),
            ],
            Self::Pump => vec![
                Figure::Open(circle(DVec2::ZERO, 1.7)),
                Figure::Filled(points(&[(-0.85, -1.2), (1.5, 0.0), (-0.85, 1.2)])),
            ],
            Self::Tee => vec![Figure::Filled(circle(DVec2::ZERO, 0.6))],
            Self::OpenEnd => vec![line(&[(0.0, -0.9), (0.0, 0.9)])],
            Self::Screen => [-0.9, -0.3, 0.3, 0.9]
                .map(|y| line(&[(0.35, y - 0.15), (0.65, y + 0.15)]))
                .into_iter()
                .chain([line(&[(0.8, -1.0), (0.8, 1.0)])])
                .collect(),
            Self::Onward => vec![
                line(&[(0.0, 0.0), (1.2, 0.0)]),
                line(&[(-0.4, -1.2), (0.3, -0.4), (-0.3, 0.4), (0.4, 1.2)]),
                Figure::Filled(points(&[(1.2, -0.7), (2.8, 0.0), (1.2, 0.7)])),
            ],
            Self::Held => vec![
                Figure::Filled(points(&[(-1.5, -0.3), (1.5, -0.3), (1.5, 0.3), (-1.5, 0.3)])),
                line(&[(-1.5, -1.0), (-1.5, 1.0)]),
                line(&[(1.5, -1.0), (1.5, 1.0)]),
            ],
            Self::WaterLevel => vec![
                Figure::Open(points(&[(-0.9, 1.5), (0.0, 0.0), (0.9, 1.5)])),
                line(&[(-0.7, -0.45), (0.7, -0.45)]),
                line(&[(-0.35, -0.9), (0.35, -0.9)]),
            ],
            Self::Verdict(verdict) => badge(verdict),
        }
    }
}

/// A badge of its own shape for each verdict: cross, wavering line, dot for a question, tick.
fn badge(verdict: Verdict) -> Vec<Figure> {
    match verdict {
        Verdict::Breach => vec![
            Figure::Open(points(&[(-1.3, 0.0), (0.0, -1.3), (1.3, 0.0), (0.0, 1.3)])),
            line(&[(-0.5, -0.5), (0.5, 0.5)]),
            line(&[(-0.5, 0.5), (0.5, -0.5)]),
        ],
        Verdict::Marginal => vec![
            Figure::Open(circle(DVec2::ZERO, 1.15)),
            line(&[(-0.7, -0.15), (-0.35, 0.2), (0.0, 0.0), (0.35, -0.2), (0.7, 0.15)]),
        ],
        Verdict::Unknown => vec![
            Figure::Open(points(&[(-1.1, -1.1), (1.1, -1.1), (1.1, 1.1), (-1.1, 1.1)])),
            Figure::Line(
                arc(dvec2(0.0, 0.35), DVec2::splat(0.42), 180.0, -90.0).into_iter().chain([dvec2(0.0, -0.3)]).collect(),
            ),
            Figure::Filled(circle(dvec2(0.0, -0.68), 0.14)),
        ],
        Verdict::Meets => {
            vec![Figure::Open(circle(DVec2::ZERO, 1.15)), line(&[(-0.55, 0.0), (-0.15, -0.45), (0.6, 0.5)])]
        }
    }
}

fn bow_tie(kind: impl Fn(Vec<DVec2>) -> Figure) -> Vec<Figure> {
    let half = |side: f64| kind(points(&[(0.0, 0.0), (1.25 * side, 0.75), (1.25 * side, -0.75)]));
    vec![half(-1.0), half(1.0)]
}

fn points(of: &[(f64, f64)]) -> Vec<DVec2> {
    of.iter().map(|(x, y)| dvec2(*x, *y)).collect()
}

fn line(of: &[(f64, f64)]) -> Figure {
    Figure::Line(points(of))
}
