use super::*;
use crate::grain::check_character::holds;
use proptest::prelude::*;
use std::collections::HashSet;

fn day(year: i32, month: u32, day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(year, month, day).unwrap()
}

fn code(letters: &str, number: u32) -> LotCode {
    LotCode::new(letters, day(2026, 11, 20), number).unwrap()
}

/// Check characters T and H: python-stdnum, see the check character's own tests.
#[test]
fn codes_are_written_with_their_check_character() {
    assert_eq!(code("ALD", 1).to_string(), "ALD-261120-1T");
    assert_eq!(code("ald", 12).to_string(), "ALD-261120-12H");
    assert_eq!(format!("{:>15}", code("ALD", 1)), "  ALD-261120-1T");
    assert_eq!(
        LotCode::new("AAA", day(2000, 1, 1), 1).unwrap().to_string(),
        format!("AAA-000101-1{}", check_character("AAA0001011").unwrap())
    );
}

#[test]
fn codes_are_read_however_they_are_typed() {
    for text in [
        "ALD-261120-1T",
        " ald-261120-1t ",
        "ALD2611201T",
        "ALD-2611201t",
        "\u{a0}ALD261120-1T",
    ] {
        let read: LotCode = text.parse().unwrap();
        assert_eq!(read, code("ALD", 1), "{text}");
        assert_eq!(read.letters(), "ALD");
        assert_eq!(read.brewed_on(), day(2026, 11, 20));
        assert_eq!(read.number(), 1);
    }
}

#[test]
fn what_has_not_the_shape_of_a_code_is_refused() {
    for text in [
        "",
        "ALD",
        "ALD-261120",
        "ALD-261120-",
        "ALD-261120-1",
        "ALD-261120-1-T",
        "AL-261120-1T",
        "A1D-261120-1T",
        "ALD-26112-1T",
        "ALD-261320-1T",
        "ALD-260229-1T",
        "ALD-261120-0T",
        "ALD-261120-01T",
        "ALD-261120-1234567T",
        "ALD-261120-1?",
        "ÄLD-261120-1T",
        "ALD--261120-1T",
        "ALD 261120 1T",
    ] {
        let problem = text.parse::<LotCode>().unwrap_err();
        assert!(matches!(problem, LotCodeProblem::Malformed(_)), "{text}");
        let problem = Problem::from(problem);
        assert!(problem.to_string().contains(text.trim()), "{text}");
        assert!(problem.hints()[0].contains("ALD-261120-1T"));
    }
}

#[test]
fn a_wrong_check_character_names_what_would_be_right() {
    let problem = "ald-261120-1x".parse::<LotCode>().unwrap_err();
    let LotCodeProblem::WrongCheck { typed, would_be } = problem.clone() else {
        panic!("{problem:?}");
    };
    assert_eq!(typed, "ALD-261120-1X");
    assert_eq!(would_be, code("ALD", 1));
    let problem = Problem::from(problem).to_string();
    assert!(problem.contains("`ALD-261120-1X`") && problem.contains("`ALD-261120-1T`"));
}

#[test]
fn what_does_not_fit_a_code_is_refused() {
    let brewed_on = day(2026, 11, 20);
    for letters in ["", "AL", "ALDE", "A1D", "Äl", "A D"] {
        assert!(LotCode::new(letters, brewed_on, 1).is_err(), "{letters}");
    }
    for number in [0, 1_000_000] {
        assert!(LotCode::new("ALD", brewed_on, number).is_err());
    }
    for year in [1999, 2100] {
        assert!(LotCode::new("ALD", day(year, 1, 1), 1).is_err());
    }
}

#[test]
fn codes_of_a_source_sort_by_age() {
    let older = LotCode::new("ALD", day(2026, 9, 30), 12).unwrap();
    assert!(older < code("ALD", 1) && code("ALD", 2) < code("ALD", 10));
}

#[test]
fn letters_come_from_the_name_while_they_last() {
    let none = |_: &str| false;
    assert_eq!(letters_for("Alder Street Brewery", &none), "ALD");
    assert_eq!(letters_for("  3 Köpfe!", &none), "KPF");
    assert_eq!(letters_for("Ox", &none), "OXA");
    assert_eq!(letters_for("Ж", &none), "AAA");
    assert_eq!(letters_for("Alder", &|letters| letters == "ALD"), "ALE");
    assert_eq!(
        letters_for("Alder", &|letters| matches!(letters, "ALD" | "ALE" | "ALR")),
        "ADE"
    );
    assert_eq!(
        letters_for("Alder", &|letters| !letters.starts_with('Q')),
        "QAA"
    );
}

#[test]
fn every_source_gets_letters_of_its_own_until_none_are_left() {
    let mut taken = HashSet::new();
    for _ in 0..300 {
        let letters = letters_for("Hop", &|letters| taken.contains(letters));
        assert!(LotCode::new(&letters, day(2026, 1, 1), 1).is_ok());
        assert!(taken.insert(letters));
    }
    assert_eq!(letters_for("Hop", &|_| true), "ZZZ");
}

proptest! {
    #[test]
    fn codes_survive_the_way_through_text(
        letters in "[A-Z]{3}",
        days in 0u64..36_525,
        number in 1u32..=HIGHEST_NUMBER,
    ) {
        let brewed_on = day(2000, 1, 1) + chrono::Days::new(days);
        let code = LotCode::new(&letters, brewed_on, number).unwrap();
        let text = code.to_string();
        prop_assert_eq!(text.parse::<LotCode>(), Ok(code));
        prop_assert!(holds(&text.replace('-', "")));
    }

    #[test]
    fn one_wrong_character_never_makes_another_code(
        letters in "[A-Z]{3}",
        number in 1u32..=HIGHEST_NUMBER,
        place in 0usize..12,
        other in "[0-9A-Z]",
    ) {
        let text = code(&letters, number).to_string();
        let place = place.min(text.len() - 1);
        prop_assume!(&text[place..=place] != "-" && text[place..=place] != other);
        let wrong = format!("{}{other}{}", &text[..place], &text[place + 1..]);
        prop_assert!(wrong.parse::<LotCode>().is_err(), "{} as {}", text, wrong);
    }

    #[test]
    fn no_text_makes_the_parser_panic(text in ".{0,20}") {
        let _ = text.parse::<LotCode>();
    }
}
