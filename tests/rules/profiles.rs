//! Profiles and the table in words: what differs is told, what makes no sense is refused, and authority is not claimed.

use loftwright::rules::{self, Basis, Lever, Profile, Verdict, Voice, Weight};
use loftwright::units::Amount;

#[test]
fn all_that_a_profile_changes_is_told() {
    let profile = Profile::parse(
        r#"(name: "ours", only: [Practice, Law], off: ["vent-falls"], guard_factor: 1.5, change: {
            "headroom-too-low-opposite": (limit: 450, weight: Must),
        })"#,
    );
    let profile = profile.expect("reads");
    let changed = rules::rule("headroom-too-low-opposite").expect("in the table");
    let told = [
        "only rules that stand on common practice or law".to_owned(),
        "vent-falls is not asked".to_owned(),
        "the guard band is 1.5 standard uncertainties".to_owned(),
        format!("headroom-too-low-opposite asks at least 450 mm instead of {}", changed.limit),
        format!("headroom-too-low-opposite weighs as 'must' instead of '{}'", changed.weight.words()),
    ];
    assert_eq!(profile.differences(), told);
    assert_eq!(profile.judged_by()[0], "judged by: ours");
    assert_eq!(profile.judged_by()[1..], told);
    assert_eq!(Profile::usual().differences(), Vec::<String>::new());
}

#[test]
fn a_limit_that_makes_no_sense_is_refused() {
    let with = |id: &str, limit: &str| {
        Profile::parse(&format!(r#"(name: "x", change: {{"{id}": (limit: {limit})}})"#))
            .map_err(|error| error.to_string())
    };
    let rule = "headroom-too-low-opposite";
    assert!(with(rule, "0").is_ok() && with(rule, "0.5").is_ok());
    for value in ["-1", "-0.001", "inf", "-inf", "NaN"] {
        assert!(with(rule, value).expect_err(value).contains("ordinary number, not below zero"), "{value}");
    }
    // How far clips may stand apart hangs on the tube; how long a dead leg may be, on its size.
    assert!(with("dead-leg-too-long", "3").expect_err("a table").contains("table by size"));
    assert!(with("vent-valved", "3").expect_err("yes or no").contains("asks no number"));
}

#[test]
fn a_guard_factor_is_between_nothing_and_ten() {
    let with = |factor: &str| Profile::parse(&format!(r#"(name: "x", guard_factor: {factor})"#));
    assert!(["0", "10"].into_iter().all(|factor| with(factor).is_ok()));
    assert!(["-0.1", "10.1", "NaN"].into_iter().all(|factor| with(factor).is_err()));
}

#[test]
fn each_rule_stands_in_the_chapter_that_is_told() {
    for rule in rules::table() {
        let chapter = rules::chapter(rule.id).unwrap_or_else(|| panic!("{} is in no chapter", rule.id));
        assert!(chapter.rules.iter().any(|other| other.id == rule.id), "{} is not in {}", rule.id, chapter.name);
    }
    assert!(rules::chapter("no-such-rule").is_none());
}

#[test]
fn nothing_claims_an_authority_that_was_not_seen() {
    for rule in rules::table() {
        let authority = rule.authority();
        assert!(authority.starts_with(rule.basis.words()), "{}: {authority}", rule.id);
        let (seen, admitted) =
            (authority.ends_with("(seen)"), authority.contains("memory") || authority.contains("no source"));
        assert_eq!(seen, rule.seen, "{}: {authority}", rule.id);
        assert!(seen || admitted, "{}: {authority}", rule.id);
        // Of what has no source there is nothing to remember.
        assert!(!(authority.contains("no source") && authority.contains("memory")), "{}: {authority}", rule.id);
    }
    let bases = [Basis::Law, Basis::Guidance, Basis::Standard, Basis::Maker, Basis::Practice];
    assert_eq!(bases.map(Basis::words), ["law", "guidance", "standard", "maker's requirement", "common practice"]);
    assert_eq!([Weight::Must, Weight::Should, Weight::Advice].map(Weight::words), ["must", "should", "advice"]);
}

#[test]
fn a_lever_says_how_far_where_that_is_known() {
    let raise = Lever::By("Move the {side} edge out");
    assert_eq!(raise.words("left", None, Some(Amount::mm(85.0))), "Move the left edge out by 85 mm");
    assert_eq!(raise.words("right", None, None), "Move the right edge out");
    assert_eq!(
        Lever::Do("Fit a lid on the {side}").words("left", None, Some(Amount::mm(85.0))),
        "Fit a lid on the left"
    );
    let tube = Lever::Do("Use tube of at least {need}");
    assert_eq!(tube.words("", Some(Amount::mm(28.0)), Some(Amount::mm(6.0))), "Use tube of at least 28 mm");
}

#[test]
fn verdicts_have_a_name_in_every_reading() {
    let said = |voice| Verdict::ALL.map(|verdict| verdict.said(voice));
    assert_eq!(said(Voice::Trade), ["breach", "marginal", "unknown", "meets"]);
    assert_eq!(said(Voice::Teaching), said(Voice::Trade));
    assert_eq!(said(Voice::Plain), ["not right", "too close to tell", "not known", "as it should be"]);
}

#[test]
fn a_text_in_pieces_is_the_same_text() {
    use loftwright::rules::Piece;
    let terms = rules::glossary();
    assert!(terms.len() > 20 && terms.is_sorted_by(|a, b| a.term <= b.term));
    let vent = rules::term("open vent").expect("a word of the trade");
    for (text, opened) in [
        ("open vent", 1),
        ("The open vent ends here.", 1),
        ("open vent, open vents", 2),
        ("ventöl", 0),
        ("reopen ventilation", 0),
        ("", 0),
    ] {
        let pieces = rules::pieces(text);
        let words = |piece: &Piece<'static>| match *piece {
            Piece::Words(words) | Piece::Term(words, _) => words,
        };
        assert_eq!(pieces.iter().map(words).collect::<String>(), text);
        assert!(pieces.iter().all(|piece| !words(piece).is_empty()), "{text}: an empty piece");
        let vents = pieces.iter().filter(|piece| matches!(piece, Piece::Term(_, term) if **term == *vent)).count();
        assert_eq!(vents, opened, "{text}");
    }
}

#[test]
fn the_source_is_that_of_the_place_or_is_named_as_taken_over() {
    let authority = |profile: &str, rule: &str| {
        let rules = Profile::shipped(profile).expect("shipped").rules();
        let in_force = rules.into_iter().find(|in_force| in_force.rule.id == rule).expect("in force");
        in_force.source.map_or_else(|| in_force.rule.authority(), |source| source.authority())
    };
    let own = authority("scotland", "cold-store-too-warm");
    assert_eq!(own, "guidance: water-industry guidance to paragraph 20, for Scotland (seen)");
    // What stands on law or guidance alone hangs on the place.
    for in_force in Profile::shipped("scotland").expect("shipped").rules() {
        let rule = in_force.rule;
        let told = authority("scotland", rule.id);
        let is_of_the_place = matches!(rule.basis, Basis::Law | Basis::Guidance) && rule.id != "cold-store-too-warm";
        assert_eq!(told.contains("taken over from the table for England and Wales"), is_of_the_place, "{told}");
        assert_eq!(authority("england-and-wales", rule.id), rule.authority());
    }
    assert!(authority("northern-ireland", "main-joins-stored").contains("SR 2009/255"));
    assert!(!authority("northern-ireland", "main-joins-stored").contains("taken over"));
}
