//! Why mending only shows some faults: what has to be found out, judged or built by people.

/// Why no move and no change is proposed for a broken rule; `None` for rules that have their levers.
#[must_use]
pub fn why_not(rule: &str) -> Option<&'static str> {
    let why = match rule {
        "cold-store-too-warm" => "the temperature is measured: insulate and ventilate, then measure again",
        "hot-tap-too-cool" | "store-too-hot" => {
            "the temperature is measured: the thermostat and the controls have to be seen to, then measure again"
        }
        "platform-overloaded"
        | "frame-not-confirmed"
        | "joist-span-too-long"
        | "truss-node-overloaded"
        | "too-few-trusses" => "what the house carries is for a competent person to confirm or to strengthen",
        "joist-overstressed" | "joist-overstressed-in-shear" | "joist-sags" => {
            "neither a move of the platform nor joists bolted beside these are enough: a competent person has to say how"
        }
        "cylinder-too-heavy-for-floor" => "the floor is for a competent person to confirm",
        "shallow-joist-notched" => "what has been cut cannot be put back by a drawing: have the joists looked at",
        "cylinder-heating-unknown" => "what heats the cylinder has to be found out and drawn",
        "outlet-without-pipe" => "which pipe is to bring its water has to be drawn",
        "sink-on-stored-water" => "a pipe from the main is needed, and which way it can go is for the fitter to say",
        "warning-pipe-hidden" | "small-warning-pipe-over-storage" => {
            "the warning pipe has to be led out to where it is seen, and which way is for whoever stands in the loft to say"
        }
        "main-joins-stored" => "main and stored water have to be parted, and which pipe goes is for the fitter to say",
        "plastic-near-heat" | "plastic-near-boiler" | "tube-not-for-its-water" => {
            "the pipe has to be laid anew in another tube, and by which joints is for the fitter to choose"
        }
        "main-does-not-reach" => "what the main brings is for the water supplier to say, and for nobody to move",
        "warning-pipe-joins-other-water" => "which of the two pipes has to be led another way is for the fitter to say",
        "pipe-end-open" => "where the pipe is to end has to be drawn",
        "pipe-through-roof" => "which way it can go under the roof is for whoever stands in the loft to say",
        "pipe-on-wrong-tapping" => "which pipe can be led to which tapping is for the fitter to see",
        "primary-joins-stored" => {
            "the two circuits have to be parted where they meet, and which pipe goes elsewhere is for the fitter to say"
        }
        "cold-feed-shared"
        | "linked-cistern-without-inlet"
        | "warning-pipes-coupled"
        | "warning-pipe-missing"
        | "back-boiler-without-vent"
        | "back-boiler-without-gravity-circuit"
        | "open-vent-missing" => {
            "a new pipe is needed, and which way it can go is for whoever stands in the loft to say"
        }
        "no-way-to-the-cistern" | "cistern-too-big-for-hatch" => {
            "the hatch is part of the house: where one can be cut is for a builder to say"
        }
        "hot-and-cold-crossed" => "which pipe can be led to which side is for whoever stands before the outlet to see",
        "mixer-heads-differ" => {
            "hot and cold of the mixer have to be fed from one cistern, which takes a new pipe; against the main, check valves on both inlets keep the waters apart"
        }
        "mixer-side-starved" => {
            "no move was found that brings enough to that side: a larger tube, or a shorter way, is for the fitter to choose"
        }
        "secondary-return-without-non-return-valve" => "which way the water goes in the return has to be seen there",
        "shower-warms-when-others-open" => {
            "the shower needs a cold pipe of its own or a thermostatic valve, which is for the fitter to choose"
        }
        "pipe-too-fast" => {
            "no move and no larger tube was found that slows the water and keeps all else: draw off less at once, or lay another pipe"
        }
        "reheat-too-slow" => {
            "what heats the cylinder has to be stronger: which boiler or heater is a choice to be made"
        }
        "too-few-joists" | "joists-too-far-apart" => {
            "bearers across the joists raise what stands on them, and here that spoils something else or the platform's depth is not told"
        }
        "cylinder-on-chipboard" => "the deck of the floor is part of the house: lay marine ply across the joists",
        "cylinder-loses-too-much" => {
            "no jacket is reckoned to bring its loss down so far: another cylinder, with thicker foam"
        }
        "pump-between-feed-and-vent" | "primary-feed-too-far-from-vent" => {
            "primary feed and primary vent have to be led to one place before the pump, which is for a heating engineer to do"
        }
        "boiler-head-too-small" | "feed-and-expansion-too-low" => {
            "the feed-and-expansion cistern cannot go so high here: a sealed system, or a boiler further down, is a choice to be made"
        }
        "boiler-above-coil" => "a boiler further down, or a pump, is a choice to be made with a heating engineer",
        "vent-ends-elsewhere" | "vent-falls" => "the vent has to be led another way, which is for the fitter to find",
        _ => return None,
    };
    Some(why)
}
