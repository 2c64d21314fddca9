//! Tried beginnings: answers of houses that one meets often, for those who would rather change than begin.

use super::answers::{Answers, CisternFor, Draw, Heating, HotStore, JoistAnswers, LoftAnswers};
use crate::layout::{OutletKind, StrengthClass, SupportKind};
use crate::units::{Length, Size};

/// A beginning by its name.
pub struct Beginning {
    /// What kind of house.
    pub name: &'static str,
    /// What is special about it, in a line.
    pub about: &'static str,
    /// Its answers.
    pub answers: fn() -> Answers,
}

/// All of them, the plainest first.
pub static BEGINNINGS: &[Beginning] = &[
    Beginning {
        name: "House with a boiler",
        about: "Three bedrooms; the cistern feeds bathroom and cylinder, a boiler heats it",
        answers: Answers::default,
    },
    Beginning {
        name: "Bungalow with immersion heaters",
        about: "Two bedrooms; cold taps on the main, so the cistern feeds only the cylinder",
        answers: bungalow,
    },
    Beginning {
        name: "Bungalow with a boiler",
        about: "Two bedrooms; the cistern feeds bathroom and cylinder, a boiler heats it",
        answers: bungalow_with_boiler,
    },
    Beginning {
        name: "House with a shower upstairs",
        about: "The cistern is raised over the joists until the shower has its head",
        answers: shower_upstairs,
    },
    Beginning {
        name: "House under trussed rafters",
        about: "A small cistern spread over the trusses; an engineer has to confirm",
        answers: trussed,
    },
    Beginning {
        name: "Tall house",
        about: "Three storeys, two bathrooms; the cylinder on the first floor is as large as that bears",
        answers: tall,
    },
];

const fn draw(kind: OutletKind, storey: u32) -> Draw {
    Draw { kind, storey }
}

fn bungalow() -> Answers {
    use OutletKind::{Basin, Bath, Sink, Wc};
    Answers {
        bedrooms: 2,
        storeys: 1,
        outlets: [Bath, Basin, Wc, Sink].map(|kind| draw(kind, 0)).to_vec(),
        cold_taps: CisternFor::CylinderOnly,
        cylinder: HotStore { heated: Heating::Direct, size: None, storey: 0 },
        ..Answers::default()
    }
}

fn bungalow_with_boiler() -> Answers {
    Answers {
        cold_taps: CisternFor::ColdTaps,
        cylinder: HotStore { heated: Heating::Indirect, size: None, storey: 0 },
        ..bungalow()
    }
}

fn shower_upstairs() -> Answers {
    use OutletKind::{Basin, Bath, Shower, Sink, Wc};
    Answers {
        outlets: vec![draw(Bath, 1), draw(Shower, 1), draw(Basin, 1), draw(Wc, 1), draw(Sink, 0)],
        loft: LoftAnswers { ridge: Size::mm(3000.0), eaves: Length::mm(300.0), ..LoftAnswers::default() },
        ..Answers::default()
    }
}

fn trussed() -> Answers {
    Answers {
        bedrooms: 2,
        cold_taps: CisternFor::CylinderOnly,
        joists: JoistAnswers {
            kind: SupportKind::TrussedRafter,
            spacing: Size::mm(600.0),
            breadth: Size::mm(35.0),
            depth: Size::mm(97.0),
            grade: StrengthClass::C24,
            ..JoistAnswers::default()
        },
        loft: LoftAnswers { width: Size::mm(8000.0), ..LoftAnswers::default() },
        ..Answers::default()
    }
}

fn tall() -> Answers {
    use OutletKind::{Basin, Bath, Sink, Wc};
    let outlets = [(Bath, 2), (Basin, 2), (Wc, 2), (Bath, 1), (Basin, 1), (Wc, 1), (Sink, 0)];
    Answers {
        bedrooms: 4,
        storeys: 3,
        outlets: outlets.map(|(kind, storey)| draw(kind, storey)).to_vec(),
        cylinder: HotStore { size: Some("8".to_owned()), ..HotStore::default() },
        loft: LoftAnswers { width: Size::mm(8000.0), ridge: Size::mm(2800.0), ..LoftAnswers::default() },
        ..Answers::default()
    }
}
