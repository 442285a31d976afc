//! The user's own templates: what they may do and how their faults are told.

use super::*;

fn set_with(source: &str) -> Result<Issued, DocumentError> {
    let (paper, assets) = samples::receipt();
    render(&paper, &Sheet { template: Some(source), ..sheet(PaperSize::A4) }, &assets)
}

fn fault_in(body: &str) -> Fault {
    let source = format!("#import \"house.typ\": *\n#show: paper.with(\"Mine\")\n{body}\n");
    match set_with(&source) {
        Err(DocumentError::Template(mut faults)) if !faults.is_empty() => faults.remove(0),
        other => panic!("“{body}” gave {other:?}"),
    }
}

#[test]
fn a_users_own_template_and_house_take_the_place_of_ours() {
    let source =
        "#import \"house.typ\": *\n#show: paper.with(\"Mine\")\n#head(\"Mine\")\n#soft(data.arrived)";
    assert_eq!(set_with(source).map(|issued| issued.pages()).ok(), Some(1));
    let (paper, assets) = samples::receipt();
    let house = HOUSE.replace("#let ink = rgb(\"#1C2524\")", "#let ink = rgb(\"#000000\")");
    assert_ne!(house, HOUSE);
    let own = Sheet { house: Some(&house), ..sheet(PaperSize::A4) };
    let black = render(&paper, &own, &assets).expect("the changed house sets");
    assert_ne!(black.pdf, set_usual(&(paper, assets), PaperSize::A4).pdf);
}

#[test]
fn a_fault_is_told_with_its_file_line_column_and_in_a_whole_sentence() {
    let told = fault_in("#data.itms").to_string();
    assert_eq!(
        told,
        "receipt.typ:3:7: there is no field “itms” here: the fields are listed in the templates' README"
    );
    let told = fault_in("é #oops").to_string();
    assert_eq!(
        told,
        "receipt.typ:3:4: nothing is called “oops” here: check the spelling, and the import of house.typ"
    );
    let told = fault_in("#text[").to_string();
    assert_eq!(told, "receipt.typ:3:6: a delimiter is opened here and never closed");
}

#[test]
fn a_picture_without_words_is_refused() {
    let fault = fault_in("#image(\"/qr.svg\", width: 20mm)");
    assert_eq!((fault.file.as_str(), fault.line), ("receipt.typ", 3));
    assert!(fault.sentence.starts_with("a picture has no words for someone who cannot see it"), "{fault:?}");
    let source = "#import \"house.typ\": *\n#show: paper.with(\"Mine\")\n#image(\"/qr.svg\", width: 20mm, alt: \"the tag\")";
    assert!(set_with(source).is_ok(), "with words it is taken");
}

#[test]
fn a_template_reaches_neither_the_disk_nor_the_network() {
    for body in ["#read(\"/etc/passwd\")", "#read(\"../../etc/passwd\")", "#read(\"/Cargo.toml\")"] {
        let fault = fault_in(body);
        assert!(fault.sentence.contains("does not exist for a template"), "{body}: {fault:?}");
        assert_eq!(fault.line, 3);
    }
    let fault = fault_in("#import \"@preview/cetz:0.3.0\": *");
    assert!(fault.sentence.starts_with("packages cannot be fetched"), "{fault:?}");
}

#[test]
fn a_template_that_goes_round_in_circles_is_stopped() {
    for body in ["#while true {}", "#let f() = f()\n#f()"] {
        let fault = fault_in(body);
        assert!(fault.sentence.contains("goes round in circles"), "{body}: {fault:?}");
    }
}

#[test]
fn a_template_without_a_title_is_refused() {
    let error = set_with("hello").expect_err("a paper needs a title").to_string();
    assert!(error.contains("the paper has no title"), "{error}");
}

#[test]
fn a_template_can_read_the_clock_it_was_given() {
    let source = "#import \"house.typ\": *\n#show: paper.with(\"Mine\")\n#assert.eq(datetime.today().display(), \"2026-12-01\")";
    set_with(source).expect("today is the day of issue");
}

/// Every field name in a value, at any depth.
fn field_names(value: &serde_json::Value, found: &mut Vec<String>) {
    match value {
        serde_json::Value::Object(fields) => {
            for (name, inner) in fields {
                found.push(name.clone());
                field_names(inner, found);
            }
        }
        serde_json::Value::Array(items) => items.iter().for_each(|item| field_names(item, found)),
        _ => {}
    }
}

#[test]
fn every_field_a_template_can_read_is_listed_in_the_readme() {
    let readme = include_str!("../../../templates/README.md");
    let listed: Vec<&str> =
        readme.split(|letter: char| !(letter.is_ascii_alphanumeric() || letter == '_')).collect();
    let path = Outline::Path { points_mm: vec![[0.0, 0.0], [1.0, 0.0], [0.0, 1.0]] };
    let mut papers: Vec<Paper> = every_paper().into_iter().map(|(paper, _)| paper).collect();
    let (mut facts, _) = proof_facts(1);
    facts.stones[0].outline = Some(path);
    papers.push(Paper::Proof(facts));
    for paper in papers {
        let value = serde_json::to_value(&paper).expect("facts are plain values");
        let mut names = Vec::new();
        field_names(&value, &mut names);
        assert!(names.len() > 10, "{:?}", paper.kind());
        for name in names {
            assert!(listed.contains(&name.as_str()), "{name} of {:?} is not listed", paper.kind());
        }
    }
}
