//! Every command, given from the list, from its menu and by its keys: what it does, and when it is offered greyed.

mod cases;
mod room;

use loftwright::desk::Command;
use loftwright::desk::commands::all;
use loftwright::layout::Layout;

use cases::{OnBlankSheet, case};
use room::{Room, Way};

/// Gives every command that can be given so, each in a house of its own, and says which of them did nothing.
fn give_all(ways: fn(Command) -> Vec<Way>) {
    let mut given = 0;
    let mut idle = Vec::new();
    for (_, command) in all() {
        for way in ways(command) {
            let case = case(command);
            let mut room = Room::of_house(&case.ready);
            assert!(!(case.effect)(&room), "{command:?}: what it does is so already");
            given += 1;
            if !room.give(command, &way, &case.effect) {
                idle.push(format!("{command:?} by {way:?}"));
            }
        }
    }
    assert!(given > 25, "only {given} commands were given");
    assert_eq!(idle, [] as [String; 0], "of {given}, these did not do what they should");
}

#[test]
fn every_command_is_found_by_its_name_in_the_list_and_does_what_it_says() {
    give_all(|command| match command {
        // The list is open already, and Esc closes it.
        Command::Ask | Command::Escape => Vec::new(),
        _ => vec![Way::List],
    });
}

#[test]
fn every_command_stands_in_its_menu_and_does_what_it_says() {
    give_all(|_| vec![Way::Menu]);
}

#[test]
fn every_shortcut_does_what_its_command_says() {
    give_all(Way::keys_of);
}

#[test]
fn a_command_that_cannot_be_given_is_greyed_in_menu_and_list() {
    let mut list = Room::on_blank_sheet();
    list.press_slash();
    for (_, command) in all() {
        let mut room = Room::on_blank_sheet();
        let name = room.name_of(command);
        room.open_menu_of(command);
        let greyed = match case(command).on_blank_sheet {
            OnBlankSheet::Offered => false,
            OnBlankSheet::Greyed => true,
            OnBlankSheet::NotShown => {
                assert_eq!(name, "", "{command:?} has a name");
                continue;
            }
        };
        assert_eq!(room.is_greyed(command), Some(greyed), "{command:?} in its menu");
        assert_eq!(room.why_not(command).is_empty(), !greyed, "{command:?}");
        if !matches!(command, Command::Ask | Command::Escape) {
            assert_eq!(list.is_greyed(command), Some(greyed), "{command:?} in the list");
        }
    }
}

#[test]
fn the_keys_of_a_greyed_command_change_nothing() {
    let mut pressed = 0;
    for (_, command) in all().filter(|(_, command)| case(*command).on_blank_sheet == OnBlankSheet::Greyed) {
        for way in Way::keys_of(command) {
            let mut room = Room::on_blank_sheet();
            room.give(command, &way, &|_| false);
            let (desk, outlook) = (room.desk(), room.desk().outlook());
            assert_eq!(desk.session().layout(), &Layout::default(), "{command:?} by {way:?}");
            assert_eq!((desk.session().undo_label(), desk.session().path()), (None, None), "{command:?} by {way:?}");
            assert!(outlook.mend.is_none() && outlook.grip().is_none(), "{command:?} by {way:?}");
            pressed += 1;
        }
    }
    assert!(pressed > 8, "only {pressed} were pressed");
}
