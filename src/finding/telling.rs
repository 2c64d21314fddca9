//! Where what is not told can be told, when it is told of the building and not of a part.

use super::{FindingKey, Findings};
use crate::layout::{
    Board, BoardMaterial, Climate, Layout, LoadDuration, LoftHatch, Piece, ServiceClass, StrengthClass, SupportKind,
};
use crate::measure::{Have, Rest, Site};
use crate::rules::{InForce, Profile};
use crate::units::{Duration, Length, Pressure, Size, SurfaceLoad, Temperature};

/// A group of things that are told of the building, or of the weather about it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ToldOf {
    /// The main.
    Main,
    /// What the floor of a storey is decked with, by its place in the list.
    Storey(usize),
    /// The joists.
    Joists,
    /// The way into the loft.
    Hatch,
    /// The weather, and how warm the rooms are.
    Climate,
}

impl ToldOf {
    /// What is not told of a finding and is told of the building, in the order in which the building tells it: what is not
    /// told is told for once, group by group, to see whether the finding then reads otherwise or asks for something else.
    #[must_use]
    pub fn answering(key: &FindingKey, layout: &Layout, profile: &Profile) -> Vec<Self> {
        let Some(question) = Question::of(key, layout, profile) else { return Vec::new() };
        let storeys = (0..layout.building.storeys.len()).map(Self::Storey);
        let all = std::iter::once(Self::Main).chain(storeys).chain([Self::Joists, Self::Hatch, Self::Climate]);
        all.filter(|told_of| {
            let told = told_of.told(layout);
            told != *layout && question.is_answered_by(&told)
        })
        .collect()
    }

    /// The piece of the building that it is told of, where it is told of one.
    #[must_use]
    pub const fn piece(self) -> Option<Piece> {
        match self {
            Self::Storey(number) => Some(Piece::Storey(number)),
            Self::Joists => Some(Piece::Joists),
            Self::Main | Self::Hatch | Self::Climate => None,
        }
    }

    /// A layout in which whatever of it is not told is told somehow. The values stand for no house: they are looked at
    /// for nothing but whether they are asked for.
    fn told(self, layout: &Layout) -> Layout {
        let mut layout = layout.clone();
        let building = &mut layout.building;
        match self {
            Self::Main => building.mains_pressure = building.mains_pressure.or(Pressure::try_kpa(300.0).ok()),
            Self::Storey(number) => {
                if let Some(storey) = building.storeys.get_mut(number) {
                    let thickness = Some(Size::mm(18.0));
                    let board = Board { material: BoardMaterial::MarinePly, thickness, class: None };
                    storey.deck = storey.deck.or(Some(board));
                }
            }
            Self::Joists => {
                let load = SurfaceLoad::try_kn_per_m2(0.25).ok();
                if let Some(joists) = &mut building.joists {
                    joists.kind.get_or_insert(SupportKind::Joist);
                    joists.grade.get_or_insert(StrengthClass::C16);
                    joists.notched.get_or_insert(false);
                    joists.span.get_or_insert(Size::mm(3000.0));
                    joists.span_from.get_or_insert(Length::mm(-1500.0));
                    joists.ceiling_load = joists.ceiling_load.or(load);
                    joists.storage_load = joists.storage_load.or(load);
                    joists.service_class.get_or_insert(ServiceClass::Covered);
                    joists.load_duration.get_or_insert(LoadDuration::Permanent);
                }
            }
            Self::Hatch => building.hatch = building.hatch.or(Some(LoftHatch::Missing)),
            Self::Climate => {
                let told = layout.climate;
                let or = |told: Option<Temperature>, celsius: f64| told.or(Temperature::try_celsius(celsius).ok());
                layout.climate = Climate {
                    loft_summer_peak: or(told.loft_summer_peak, 36.0),
                    loft_summer_low: or(told.loft_summer_low, 16.0),
                    room_summer: or(told.room_summer, 26.0),
                    main_summer: or(told.main_summer, 18.0),
                    loft_winter_low: or(told.loft_winter_low, -4.0),
                    frost_lasts: told.frost_lasts.or(Duration::try_hours(12.0).ok()),
                    main_winter: or(told.main_winter, 6.0),
                    room: or(told.room, 20.0),
                };
            }
        }
        layout
    }
}

/// What a finding asks for: it reads otherwise, or asks for something else, once that is told.
pub struct Question {
    key: FindingKey,
    rules: Vec<InForce>,
    guard_factor: f64,
    now: Asks,
}

/// What is read, and what is not known of the rest.
type Asks = Option<(Have, Option<Rest>)>;

impl Question {
    /// The question of a finding; `None` when it asks for nothing.
    #[must_use]
    pub fn of(key: &FindingKey, layout: &Layout, profile: &Profile) -> Option<Self> {
        let rules = profile.rules().into_iter().filter(|rule| rule.rule.id == key.rule).collect();
        let mut question = Self { key: key.clone(), rules, guard_factor: profile.guard_factor, now: None };
        question.now = question.asks(layout);
        matches!(question.now, Some((Have::Untold(_), _) | (_, Some(_)))).then_some(question)
    }

    /// Whether it is another question, or none, in a layout in which something more is told.
    #[must_use]
    pub fn is_answered_by(&self, layout: &Layout) -> bool {
        self.asks(layout) != self.now
    }

    fn asks(&self, layout: &Layout) -> Asks {
        let findings = Findings::by(&Site::of(layout), &self.rules, self.guard_factor);
        findings.find(&self.key).map(|finding| (finding.reading.have.clone(), finding.reading.rest.clone()))
    }
}
