//! What the press must hold whatever a plan says.

use crate::press::fixture;

#[test]
fn dump() {
    let Ok(out) = std::env::var("PRESS_OUT") else {
        return;
    };
    let mut all = vec![("a4", fixture::binder())];
    let mut letter = fixture::binder();
    letter.paper = crate::binder::document::PaperSize::Letter;
    letter.two_sided = true;
    letter.black_ink = true;
    letter.not_proved = Some("NOT PROVED: 3 faults, page 2".into());
    all.push(("letter", letter));
    for (name, document) in all {
        let files = crate::press::typst::print::draft_data(&document);
        std::fs::write(format!("{out}/{name}.json"), files).unwrap();
        let start = std::time::Instant::now();
        match super::pdf(&document) {
            Ok(printed) => {
                eprintln!(
                    "{name}: {} pages, {:?}, {} kB",
                    printed.pages,
                    start.elapsed(),
                    printed.pdf.len() / 1000
                );
                std::fs::write(format!("{out}/{name}.pdf"), &printed.pdf).unwrap();
                std::fs::write(format!("{out}/{name}.json"), &printed.data_json).unwrap();
                std::fs::write(format!("{out}/{name}.typ"), &printed.typst_source).unwrap();
            }
            Err(error) => eprintln!("{name}: {error}"),
        }
    }
}

#[test]
fn timing() {
    if std::env::var("PRESS_OUT").is_err() {
        return;
    };
    let document = fixture::binder();
    for round in 0..3 {
        let (files, pictures) = crate::press::typst::print::gather_pictures(&document).unwrap();
        let t = std::time::Instant::now();
        let mut data = crate::press::typst::convert::convert(&document, &files).data;
        eprintln!("{round} convert {:?}", t.elapsed());
        let template = crate::press::typst::print::template();
        let t = std::time::Instant::now();
        let l = crate::press::typst::engine::lay_out(
            &template,
            &serde_json::to_string(&data).unwrap(),
            &pictures,
        )
        .ok()
        .unwrap();
        eprintln!("draft {:?} {}", t.elapsed(), l.pages.len());
        data.draft = false;
        data.title.push_str(&round.to_string());
        let t = std::time::Instant::now();
        let l = crate::press::typst::engine::lay_out(
            &template,
            &serde_json::to_string(&data).unwrap(),
            &pictures,
        )
        .ok()
        .unwrap();
        eprintln!("final {:?} {}", t.elapsed(), l.pages.len());
        let t = std::time::Instant::now();
        l.pdf().unwrap();
        eprintln!("pdf {:?}", t.elapsed());
    }
}
