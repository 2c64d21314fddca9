//! probe
#[test]
fn probe() {
    let text = std::fs::read_to_string("examples/sound_indirect.loft.ron").unwrap();
    let o = ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME);
    let l: loftwright::layout::Layout = o.from_str(&text).unwrap();
    println!("{:?}", l.broken_references());
    let site = loftwright::measure::Site::of(&l);
    let f = loftwright::finding::Findings::of(&site);
    println!("{:?}", f.counts());
    for x in f.iter() {
        println!("{} {} | {} | {} | {} | {:?}", x.judged.verdict.words(), x.rule.id, x.subject(), x.have_words(), x.need_words(), x.reading.places.iter().map(|p| site.locate(p).is_some()).collect::<Vec<_>>());
    }
}
