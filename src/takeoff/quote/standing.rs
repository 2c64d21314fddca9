//! Whether what a line names is firmly part of the quote: or left out, left to the client, only an extra, or only a place.

use super::words::{Words, is_form_of};

/// How what a line names stands in the quote, with the words by which.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Standing {
    /// Nothing says otherwise.
    Firm,
    /// It is no part of the quote.
    LeftOut(String),
    /// The client, or somebody else, is to supply it or to do it.
    LeftToYou(String),
    /// It is only offered, or its price is not fixed.
    OnlyAsExtra(String),
    /// Nothing says otherwise, but of what it is made is not said.
    WithoutMaterial,
    /// Nothing says otherwise, but it is one of several.
    InPart,
    /// What was there before is used again.
    Reused,
}

impl Standing {
    /// What the words do to the line; nothing where it is firm.
    pub fn said(&self) -> Option<String> {
        match self {
            Self::Firm => None,
            Self::LeftOut(by) => Some(format!("'{by}' leaves it out")),
            Self::LeftToYou(by) => Some(format!("'{by}' leaves it to you or others")),
            Self::OnlyAsExtra(by) => Some(format!("'{by}' makes it an extra, or its price not fixed")),
            Self::WithoutMaterial => Some("it names no material".to_owned()),
            Self::InPart => Some("it names one pipe of several".to_owned()),
            Self::Reused => Some("it uses again what is there".to_owned()),
        }
    }
}

/// Words that leave a thing out, each as it has to stand.
const LEAVING_OUT: &[&[&str]] = &[
    &["not", "included"],
    &["not", "including"],
    &["not", "supplied"],
    &["excluded"],
    &["excluding"],
    &["excludes"],
    &["exclude"],
    &["exclusions"],
    &["exclusion"],
    &["excl"],
    &["exc"],
    &["without"],
    &["omitted"],
    &["omit"],
    &["none"],
    &["nil"],
    &["no", "allowance"],
];

/// After "not" these say how much, and leave nothing out.
const NOT_OF_A_MEASURE: &[&str] = &[
    "less",
    "more",
    "exceed",
    "exceeding",
    "under",
    "over",
    "only",
    "below",
    "above",
    "smaller",
    "larger",
    "shorter",
    "longer",
    "thinner",
    "before",
    "until",
];

/// Those who are not the one who makes the quote.
const OTHERS: &[&str] = &[
    "client",
    "clients",
    "customer",
    "customers",
    "owner",
    "owners",
    "householder",
    "homeowner",
    "you",
    "yourself",
    "yourselves",
    "other",
    "others",
    "builder",
    "builders",
    "electrician",
    "landlord",
];
/// What stands before those who are to do it: "by the client".
const BY: &[&str] = &["by", "from"];
/// What stands after them: "client to supply", "customer's own".
const THEY_DO: &[&str] = &[
    "to", "will", "must", "should", "supply", "supplies", "supplied", "provide", "provides", "provided", "own", "fit",
    "fits", "buy", "buys", "s",
];
/// Only one half of supply and fit.
const HALF: &[&[&str]] =
    &[&["fit", "only"], &["fitting", "only"], &["labour", "only"], &["supply", "only"], &["free", "issue"]];

/// Words that offer a thing, or leave its price open.
const OFFERING: &[&[&str]] = &[
    &["if"],
    &["unless"],
    &["optional"],
    &["optionally"],
    &["option"],
    &["options"],
    &["extra"],
    &["extras"],
    &["additional"],
    &["additionally"],
    &["provisional"],
    &["provisionally"],
    &["pc", "sum"],
    &["p", "c", "sum"],
    &["prime", "cost"],
    &["contingency"],
    &["tbc"],
    &["tba"],
    &["poa"],
    &["to", "be", "confirmed"],
    &["to", "be", "agreed"],
    &["subject", "to"],
    &["price", "on"],
    &["separately"],
    &["where", "required"],
    &["where", "needed"],
    &["where", "necessary"],
    &["when", "required"],
    &["when", "needed"],
    &["could", "be"],
    &["may", "be"],
    &["can", "be"],
    &["might", "be"],
];
/// After "extra" these say of what make it is.
const EXTRA_OF_A_MAKE: &[&str] = &["thick", "heavy", "strong", "large", "long", "wide", "deep"];

/// Words that say that a thing is part of the quote.
const TAKING_IN: &[&str] = &["include", "includes", "included", "including", "incl", "inclusive"];

/// What "no" and "without" before it leave out is money, and no thing.
const MONEY: &[&str] = &["charge", "charges", "cost", "costs", "extra", "vat", "fee"];
/// After "without" these say how something is done, and leave nothing out.
const DOING: &[&str] = &[
    "removing",
    "cutting",
    "damaging",
    "disturbing",
    "breaking",
    "taking",
    "having",
    "needing",
    "moving",
    "lifting",
    "altering",
    "changing",
    "making",
    "going",
    "draining",
];
/// How many words may stand between, as in "no additional charge".
const WORDS_BETWEEN: usize = 1;

impl Words {
    /// How what these words name stands in the quote.
    pub fn standing(&self) -> Standing {
        let found = self.leaves_out_by().map(Standing::LeftOut);
        let found = found.or_else(|| self.leaves_to_others_by().map(Standing::LeftToYou));
        found.or_else(|| self.offers_by().map(Standing::OnlyAsExtra)).unwrap_or(Standing::Firm)
    }

    /// The line where it says that one thing is left out and another is not, parted between them: "excludes X but includes
    /// Y". Elsewhere all of it.
    pub fn parts(&self) -> Vec<Self> {
        let is_out = |part: &Self| matches!(part.standing(), Standing::LeftOut(_) | Standing::LeftToYou(_));
        let takes_in = |part: &Self| !is_out(part) && part.all().iter().any(|word| TAKING_IN.contains(&word.as_str()));
        let parted = |at: usize| {
            let (before, after) = (self.between(0, at), self.between(at + 1, self.all().len()));
            let differ = (is_out(&before) && takes_in(&after)) || (takes_in(&before) && is_out(&after));
            differ.then(|| vec![before, after])
        };
        self.places_of(&["but"]).find_map(parted).unwrap_or_else(|| vec![self.clone()])
    }

    /// Whether a word says where something goes, or what it is for, and not what is quoted: "taken over the tank".
    pub fn is_a_place(&self, at: usize) -> bool {
        let mut before = at;
        while before > 0 && !self.breaks_before(before) && self.describes(before - 1) {
            before -= 1;
        }
        if before == 0 || self.breaks_before(before) || !TO_A_PLACE.contains(&self.word(before - 1)) {
            return false;
        }
        let gives = before.checked_sub(2).is_some_and(|at| GIVING.iter().any(|stem| is_form_of(self.word(at), stem)));
        !gives && !self.is_allowed_for(before)
    }

    /// Whether what begins at a place is one of several that a line allows for: "allow for the lid and for the jacket".
    fn is_allowed_for(&self, at: usize) -> bool {
        let is_joined = at >= 2 && self.word(at - 1) == "for" && matches!(self.word(at - 2), "and" | "or");
        is_joined && self.all()[..at].iter().any(|word| is_form_of(word, "allow"))
    }

    /// Whether a word only describes the thing after it, as the sizes and kinds of cisterns and cylinders do.
    fn describes(&self, at: usize) -> bool {
        let is_measured = |at: usize| {
            self.word(at).starts_with(|c: char| c.is_ascii_digit()) && !matches!(self.word(at + 1), "no" | "nos" | "nr")
        };
        DESCRIBING.contains(&self.word(at)) || is_measured(at)
    }

    /// The words by which the line says that what it names is not part of the quote.
    fn leaves_out_by(&self) -> Option<String> {
        let of_money = |at: usize| {
            let mut after = self.all().iter().skip(at + 1).take(WORDS_BETWEEN + 1);
            after.any(|word| MONEY.contains(&word.as_str()))
        };
        // "Excluding VAT" alone is of the price; "excluding VAT and lid" is not.
        let of_tax = |at: usize| self.word(at) == "vat" && (at + 1 == self.all().len() || self.breaks_before(at + 1));
        let leaves = |phrase: &[&str], at: usize| {
            let after = at + phrase.len();
            let is_of_money = of_tax(after) || of_tax(after + 1) || (phrase == ["without"] && of_money(at));
            let says_how = phrase == ["without"] && DOING.contains(&self.word(after));
            !is_of_money && !says_how
        };
        if let Some(phrase) = LEAVING_OUT.iter().find(|phrase| self.places_of(phrase).any(|at| leaves(phrase, at))) {
            return Some(phrase.join(" "));
        }
        let leaves_out = |at: &usize| !of_tax(at + 1) && !NOT_OF_A_MEASURE.contains(&self.word(at + 1));
        if self.places_of(&["not"]).any(|at| leaves_out(&at)) {
            return Some("not".to_owned());
        }
        // "2 no gate valves" and "gate valves no. 2" count; "no lid" does not.
        let counts = |at: usize| self.counts_before(at) || self.counts_after(at);
        self.places_of(&["no"]).any(|at| !counts(at) && !of_money(at)).then(|| "no".to_owned())
    }

    /// The words by which it leaves what it names to the client or to others.
    fn leaves_to_others_by(&self) -> Option<String> {
        let is_other = |at: usize| OTHERS.contains(&self.word(at));
        let article = |at: usize| usize::from(matches!(self.word(at), "the" | "your" | "an" | "a"));
        for at in 0..self.all().len() {
            let who = at + 1 + article(at + 1);
            if BY.contains(&self.word(at)) && is_other(who) {
                return Some(format!("{} {}", self.word(at), self.word(who)));
            }
            if is_other(at) && THEY_DO.contains(&self.word(at + 1)) {
                let joint = if self.word(at + 1) == "s" { "'" } else { " " };
                return Some(format!("{}{joint}{}", self.word(at), self.word(at + 1)));
            }
            if self.word(at) == "your" && self.word(at + 1) == "own" {
                return Some("your own".to_owned());
            }
        }
        HALF.iter().find(|phrase| self.places_of(phrase).next().is_some()).map(|phrase| phrase.join(" "))
    }

    /// The words by which it only offers what it names, or leaves its price open.
    fn offers_by(&self) -> Option<String> {
        let is_free = |at: usize| (1..=WORDS_BETWEEN + 1).any(|by| at >= by && self.denies_cost(at - by));
        let of_a_make = |at: usize| EXTRA_OF_A_MAKE.contains(&self.word(at + 1));
        let offers = |phrase: &&&[&str]| {
            let may_be_free = matches!(phrase[0], "extra" | "additional");
            self.places_of(phrase).any(|at| !(may_be_free && (is_free(at) || of_a_make(at))))
        };
        OFFERING.iter().find(offers).map(|phrase| phrase.join(" "))
    }

    fn denies_cost(&self, at: usize) -> bool {
        matches!(self.word(at), "no" | "without")
    }
}

/// What stands before a place.
const TO_A_PLACE: &[&str] = &[
    "to", "from", "over", "for", "of", "in", "into", "on", "onto", "off", "above", "below", "under", "beneath", "at",
    "near", "by", "beside", "behind", "between", "inside", "through", "around", "across", "against", "via",
];
/// After these comes the thing itself: "supply of cistern", "allow for drain cocks".
const GIVING: &[&str] = &[
    "suppl",
    "supply",
    "install",
    "installation",
    "fit",
    "fitting",
    "provision",
    "allow",
    "price",
    "cost",
    "charge",
    "include",
    "pair",
];
/// What may stand between such a word and the thing.
const DESCRIBING: &[&str] = &[
    "the",
    "a",
    "an",
    "your",
    "our",
    "this",
    "that",
    "each",
    "both",
    "all",
    "new",
    "cold",
    "hot",
    "water",
    "loft",
    "storage",
    "main",
    "copper",
    "plastic",
    "indirect",
    "direct",
    "vented",
    "mm",
    "l",
    "ltr",
    "litre",
    "litres",
    "gal",
    "gallon",
    "gallons",
    "x",
    "expansion",
    "heating",
    "header",
];

#[cfg(test)]
mod tests {
    use super::*;

    fn standing(text: &str) -> Standing {
        Words::of(text).standing()
    }

    #[test]
    fn what_is_left_out_is_told_from_what_is_counted() {
        let out = |by: &str| Standing::LeftOut(by.to_owned());
        for (text, by) in [
            ("No lid", "no"),
            ("Cistern without lid", "without"),
            ("float valve part 2, no lid", "no"),
            ("Lid not included", "not included"),
            ("Lid is not part of this", "not"),
            ("Immersion heater none", "none"),
            ("Immersion heater n/a", "none"),
            ("Price excluding VAT and lid", "excluding"),
        ] {
            assert_eq!(standing(text), out(by), "{text}");
        }
        for firm in [
            "3 no lids",
            "gate valves no. 2",
            "No charge for lid",
            "lid without extra cost",
            "tank lifted into the loft without removing the hatch frame",
            "lid, no additional charge",
            "lid, £12 excl. VAT",
            "insulation not less than 25 mm",
            "extra thick jacket",
            "pump with union fittings",
        ] {
            assert_eq!(standing(firm), Standing::Firm, "{firm}");
        }
    }

    #[test]
    fn what_is_left_to_others_or_offered_is_not_firm() {
        for (text, by) in [
            ("Lid by others", "by others"),
            ("Jacket by the customer", "by customer"),
            ("Pump: client to supply", "client to"),
            ("Pump, client's own", "client's"),
            ("Fit only: cistern", "fit only"),
        ] {
            assert_eq!(standing(text), Standing::LeftToYou(by.to_owned()), "{text}");
        }
        for (text, by) in [
            ("Tank jacket extra if wanted £25", "if"),
            ("Jacket, optional", "optional"),
            ("Jacket £25 extra", "extra"),
            ("Allow for 2 no. drain cocks PC sum £20", "pc sum"),
            ("frame, provisional £150", "provisional"),
        ] {
            assert_eq!(standing(text), Standing::OnlyAsExtra(by.to_owned()), "{text}");
        }
    }

    #[test]
    fn what_is_left_out_ends_where_something_is_taken_in() {
        let out = |text: &str| -> Vec<bool> {
            Words::of(text).parts().iter().map(|part| part.standing() != Standing::Firm).collect()
        };
        assert_eq!(out("Price excludes jacket but includes lid"), [true, false]);
        assert_eq!(out("No jacket, but lid included"), [true, false]);
        assert_eq!(out("Includes lid but not the jacket: by others"), [false, true]);
        // Nothing is taken in on either side, or all of it is left out.
        assert_eq!(out("Excludes jacket but not lid"), [true]);
        assert_eq!(out("Lid, but not included"), [true]);
        assert_eq!(out("Excludes jacket but also excludes lid"), [true]);
        assert_eq!(out("Small cistern but including lid"), [false]);
    }

    #[test]
    fn where_a_thing_goes_is_not_the_thing() {
        let is_place = |text: &str, at: usize| Words::of(text).is_a_place(at);
        assert!(is_place("vent over tank", 2) && is_place("vent over the cold water tank", 5));
        assert!(!is_place("supply of tank", 2) && !is_place("allow for 2 no drain cocks", 4));
        assert!(!is_place("vent, tank", 1) && !is_place("tank", 0));
    }
}
