//! Planting: over many seeds each exercise has exactly the planted breaches, and near misses that are allowed.

use std::collections::BTreeMap;

use loftwright::finding::{Finding, Findings};
use loftwright::lesson::{Exercise, Learner, Of, PlantError, Repertoire, Wish, mark};
use loftwright::measure::Site;
use loftwright::rules::{Profile, Verdict, Weight};

use super::example::example;

pub fn repertoire(name: &str) -> Repertoire {
    Repertoire::of(&example(name), Profile::usual(), &Of::default()).expect("a sound layout")
}

/// So many seeds are tried; `LESSON_SEEDS` asks for more.
fn seeds() -> u64 {
    std::env::var("LESSON_SEEDS").ok().and_then(|text| text.parse().ok()).unwrap_or(500)
}

#[test]
fn every_exercise_has_exactly_the_planted_breaches() {
    let mut planted_of: BTreeMap<&str, u32> = BTreeMap::new();
    let mut near = 0;
    for name in ["sound_indirect", "sound_direct"] {
        let repertoire = repertoire(name);
        let unknown = Findings::of(&Site::of(&example(name))).counts().unknown;
        for seed in 0..seeds() {
            let wish = Wish { faults: 1 + usize::try_from(seed % 5).expect("small"), near_misses: 2 };
            let planted = repertoire.plant(wish, seed).unwrap_or_else(|error| panic!("{name}, {seed}: {error}"));
            // The checker is asked anew, and by the whole table.
            let findings = Findings::of(&Site::of(&planted.layout));
            let mut broken: Vec<&str> = with(&findings, Verdict::Breach).map(|finding| finding.rule.id).collect();
            let mut wanted: Vec<&str> = planted.faults.iter().map(|(key, _)| key.rule).collect();
            broken.sort_unstable();
            wanted.sort_unstable();
            assert_eq!(broken, wanted, "{name}, seed {seed}");
            assert_eq!(wanted.len(), wish.faults, "{name}, seed {seed}");
            wanted.dedup();
            assert_eq!(wanted.len(), wish.faults, "{name}, seed {seed}: a rule is broken twice");
            assert_eq!(with(&findings, Verdict::Marginal).count(), 0, "{name}, seed {seed}");
            assert!(findings.counts().unknown <= unknown, "{name}, seed {seed}: something became unknown");
            for (key, finding) in &planted.near_misses {
                let now = findings.keyed().find(|(other, _)| *other == key).expect("it is there").1;
                assert_eq!(now.judged.verdict, Verdict::Meets, "{name}, seed {seed}: {}", key.rule);
                assert!(!wanted.contains(&finding.rule.id));
            }
            near += planted.near_misses.len();
            for (key, _) in &planted.faults {
                *planted_of.entry(key.rule).or_default() += 1;
            }
            let learner = Learner::new(seed, "");
            let exercise = Exercise::of(&planted, &learner, &repertoire);
            let marks = mark(&exercise, &exercise.answers(), 0);
            assert_eq!((marks.got, marks.percent()), (marks.out_of, 100), "{name}, seed {seed}");
        }
    }
    // One rule must not crowd out the others.
    assert!(planted_of.len() >= 15, "only these are ever planted: {planted_of:?}");
    assert!(near > 0, "no near miss was ever made");
}

fn with(findings: &Findings, verdict: Verdict) -> impl Iterator<Item = &Finding> {
    findings.iter().filter(move |finding| finding.judged.verdict == verdict)
}

#[test]
fn faults_are_of_the_rule_the_weight_or_the_topic_that_is_asked() {
    let layout = example("sound_indirect");
    let plant = |of: &Of, faults| {
        let repertoire = Repertoire::of(&layout, Profile::usual(), of).expect("sound");
        repertoire.plant(Wish { faults, near_misses: 1 }, 5).expect("planted")
    };
    let of_rule = plant(&Of::default().with_rule("vent-too-low").expect("a rule"), 1);
    assert_eq!(of_rule.faults[0].0.rule, "vent-too-low");
    let musts = plant(&Of { weight: Some(Weight::Must), ..Of::default() }, 4);
    assert!(musts.faults.iter().all(|(_, finding)| finding.weight == Weight::Must));
    let of_topic = plant(&Of::default().with_topic("cistern").expect("a topic"), 3);
    let in_topic = |id: &str| loftwright::rules::chapter(id).is_some_and(|chapter| chapter.name == "cistern");
    assert!(of_topic.faults.iter().all(|(key, _)| in_topic(key.rule)));
    assert!(Of::default().with_rule("vent-to-low").expect_err("none").to_string().contains("'vent-too-low'"));
    assert!(Of::default().with_topic("roofs").expect_err("none").to_string().contains("cistern, overflow"));
}

#[test]
fn rules_that_are_named_are_all_planted_and_hidden_among_others() {
    let named = ["lid-vent-unscreened", "vent-too-low", "warning-pipe-hidden", "platform-not-marine-ply"];
    let of = named.iter().fold(Of::default(), |of, id| of.with_rule(id).expect("a rule"));
    let of = of.with_rule(named[0]).expect("named twice is named once");
    assert_eq!((of.usual_faults(), Of::default().usual_faults()), (4, 3));
    let repertoire = Repertoire::of(&example("sound_indirect"), Profile::usual(), &of).expect("sound");
    for seed in 0..20 {
        let wish = Wish { faults: of.usual_faults(), near_misses: 2 };
        let planted = repertoire.plant(wish, seed).expect("planted");
        let mut broken: Vec<&str> = planted.faults.iter().map(|(key, _)| key.rule).collect();
        broken.sort_unstable();
        let mut wanted = named.to_vec();
        wanted.sort_unstable();
        assert_eq!(broken, wanted, "seed {seed}");
        let learner = Learner::new(seed, "");
        let choices = Exercise::of(&planted, &learner, &repertoire).choices;
        assert_eq!(choices, Exercise::of(&repertoire.plant(wish, seed).expect("again"), &learner, &repertoire).choices);
        // They stand among rules that the drawing keeps.
        let findings = Findings::of(&Site::of(&planted.layout));
        let others: Vec<&String> = choices.iter().filter(|id| !named.contains(&id.as_str())).collect();
        let is_kept = |id: &str| {
            let mut of_rule = findings.iter().filter(|finding| finding.rule.id == id).peekable();
            of_rule.peek().is_some() && of_rule.all(|finding| finding.judged.verdict != Verdict::Breach)
        };
        assert!(others.len() >= 8 && others.iter().all(|id| is_kept(id)), "seed {seed}: {choices:?}");
    }
}

#[test]
fn what_cannot_be_planted_is_refused_in_words() {
    let faulty = Repertoire::of(&example("low_loft"), Profile::usual(), &Of::default());
    assert!(matches!(faulty, Err(PlantError::NotSound(words)) if words.contains("vent")));
    let one = Of::default().with_rule("vent-too-low").expect("a rule");
    let repertoire = Repertoire::of(&example("sound_indirect"), Profile::usual(), &one).expect("sound");
    let error = repertoire.plant(Wish { faults: 3, near_misses: 0 }, 1).err().expect("too many");
    assert_eq!(error, PlantError::TooMany { wanted: 3, found: 1 });
    // The house has no sink that could be on stored water.
    let with_another = Of::default().with_rule("vent-too-low").and_then(|of| of.with_rule("sink-on-stored-water"));
    let with_another = with_another.expect("rules");
    let repertoire = Repertoire::of(&example("sound_indirect"), Profile::usual(), &with_another).expect("sound");
    let error = repertoire.plant(Wish { faults: 2, near_misses: 0 }, 1).err().expect("one cannot be");
    assert_eq!(error, PlantError::NotAlone("sink-on-stored-water".to_owned()));
    assert!(repertoire.plant(Wish { faults: 1, near_misses: 0 }, 1).is_ok(), "the other can");
}
