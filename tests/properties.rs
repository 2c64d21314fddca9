//! What holds for every layout: files come back as they were written.

use loftwright::file;

#[test]
fn every_example_comes_back_as_it_was_written() {
    for entry in std::fs::read_dir("examples").expect("examples") {
        let path = entry.expect("entry").path();
        if path.extension().is_some_and(|ending| ending == "ron") {
            let layout = file::read(&path).expect("reads");
            let text = file::write_text(&layout);
            assert_eq!(file::parse(&text, "again").expect("reads again"), layout);
        }
    }
}
