//! Paths as people type them into the window.

use std::path::PathBuf;

/// A path that was typed: without spaces around it, and `~` at its beginning is the home folder.
#[must_use]
pub fn typed_path(text: &str) -> PathBuf {
    below(text.trim(), std::env::home_dir())
}

fn below(text: &str, home: Option<PathBuf>) -> PathBuf {
    let in_home = if text == "~" { Some("") } else { text.strip_prefix("~/") };
    match (in_home, home) {
        (Some(rest), Some(home)) => home.join(rest.trim_start_matches('/')),
        _ => PathBuf::from(text),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_leading_tilde_is_the_home_folder() {
        let home = || Some(PathBuf::from("/home/ines"));
        for (text, path) in [
            ("~/papers", "/home/ines/papers"),
            ("~//papers", "/home/ines/papers"),
            ("~", "/home/ines/"),
            ("~papers", "~papers"),
            ("a/~/b", "a/~/b"),
            ("/tmp/x", "/tmp/x"),
        ] {
            assert_eq!(below(text, home()), PathBuf::from(path), "{text}");
        }
        assert_eq!(below("~/papers", None), PathBuf::from("~/papers"), "nobody has a home");
        assert_eq!(typed_path(" a.csv "), PathBuf::from("a.csv"));
    }
}
