//! Any text at all, put to every parser: it is taken or refused with words, in bounded time, and what is
//! taken lies in its range. Nothing panics.
//!
//! The usual run replays the corpus and tries some thousand inputs, the same ones every time. With
//! `DRAFF_LONG` set it tries ten million; a release build does that in minutes:
//!
//! ```text
//! DRAFF_LONG=1 cargo test --release --test fuzz -- --nocapture
//! ```
//!
//! `tests/corpus/` holds, for each parser, the shortest input found for each different thing that it says;
//! with `DRAFF_WRITE_CORPUS` set too, a long run writes it anew.

mod corpus;
mod parsers;

use parsers::{PARSERS, Parser};
use proptest::prelude::*;
use proptest::sample::{Index, select};
use proptest::test_runner::{RngAlgorithm, TestRng, TestRunner};
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::time::{Duration, Instant};

/// Inputs of the long run, over all parsers.
const LONG: u32 = 10_000_000;
/// Inputs of the usual run.
const USUAL: u32 = 20_000;
/// Longest that one input may take. The slowest parser needs some milliseconds; this leaves room for a busy
/// machine, and what grows without bound passes it at once.
const PATIENCE: Duration = Duration::from_secs(10);
/// Longest input, in bytes.
const LONGEST: usize = 20_000;

/// One change to a text.
#[derive(Debug, Clone)]
enum Edit {
    Cut(Index, usize),
    Put(Index, &'static str),
    Turn(Index, u8),
    Repeat(Index, usize, usize),
}

fn edit(words: &'static [&'static str]) -> impl Strategy<Value = Edit> {
    let at = any::<Index>;
    prop_oneof![
        2 => (at(), 1usize..20).prop_map(|(at, length)| Edit::Cut(at, length)),
        4 => (at(), select(words)).prop_map(|(at, word)| Edit::Put(at, word)),
        2 => (at(), any::<u8>()).prop_map(|(at, byte)| Edit::Turn(at, byte)),
        1 => (at(), 1usize..8, 2usize..300).prop_map(|(at, length, times)| Edit::Repeat(at, length, times)),
    ]
}

fn edited(text: &str, edits: &[Edit]) -> String {
    let mut bytes = text.as_bytes().to_vec();
    for edit in edits {
        let place = |at: &Index| at.index(bytes.len() + 1);
        match edit {
            Edit::Cut(at, length) => {
                let from = place(at);
                bytes.drain(from..(from + length).min(bytes.len()));
            }
            Edit::Put(at, word) => {
                let from = place(at);
                bytes.splice(from..from, word.bytes());
            }
            Edit::Turn(at, byte) => {
                let from = place(at);
                if let Some(found) = bytes.get_mut(from) {
                    *found = *byte;
                }
            }
            Edit::Repeat(at, length, times) => {
                let from = place(at);
                let part = bytes[from..(from + length).min(bytes.len())].repeat(*times);
                bytes.splice(from..from, part);
            }
        }
    }
    bytes.truncate(LONGEST);
    String::from_utf8_lossy(&bytes).into_owned()
}

/// Bytes of any kind, the parser's own words in any order, and changed inputs of the corpus.
fn inputs(parser: &Parser, corpus: Vec<String>) -> impl Strategy<Value = String> + use<> {
    let words = parser.words;
    prop_oneof![
        1 => proptest::collection::vec(any::<u8>(), 0..40)
            .prop_map(|bytes| String::from_utf8_lossy(&bytes).into_owned()),
        3 => proptest::collection::vec(select(words), 0..10).prop_map(|words| words.concat()),
        4 => (select(corpus), proptest::collection::vec(edit(words), 1..5))
            .prop_map(|(text, edits)| edited(&text, &edits)),
    ]
}

/// The answer without what belongs to one input only.
fn shape(answer: &str) -> String {
    // What was typed stands between backticks, and may hold some itself.
    let outside = match (answer.split_once('`'), answer.rsplit_once('`')) {
        (Some((before, _)), Some((_, after))) => format!("{before}`{after}"),
        _ => answer.to_owned(),
    };
    let mut shape = String::new();
    for c in outside.chars() {
        match c {
            '0'..='9' => {
                if !shape.ends_with('0') {
                    shape.push('0');
                }
            }
            c => shape.push(c),
        }
    }
    shape.chars().take(120).collect()
}

/// Tries so many inputs on one parser; gives the shortest input for each answer, and the longest time.
fn try_inputs(parser: &Parser, number: u32, seed: u8) -> (BTreeMap<String, String>, Duration) {
    let corpus = corpus::inputs(parser);
    let config = ProptestConfig {
        cases: number,
        failure_persistence: None,
        ..ProptestConfig::default()
    };
    let rng = TestRng::from_seed(RngAlgorithm::XorShift, &[seed.max(1); 16]);
    let found = RefCell::new(BTreeMap::<String, String>::new());
    let slowest = RefCell::new(Duration::ZERO);
    let run = TestRunner::new_with_rng(config, rng).run(&inputs(parser, corpus), |text| {
        let started = Instant::now();
        let answer = (parser.run)(&text);
        let took = started.elapsed();
        prop_assert!(took < PATIENCE, "it took {took:?}");
        slowest.replace_with(|longest| took.max(*longest));
        let mut found = found.borrow_mut();
        let shortest = found.entry(shape(&answer)).or_insert_with(|| text.clone());
        if text.len() < shortest.len() {
            *shortest = text;
        }
        Ok(())
    });
    if let Err(failure) = run {
        panic!("{}: {failure}", parser.name);
    }
    (found.into_inner(), slowest.into_inner())
}

#[test]
fn the_corpus_is_taken_or_refused() {
    let mut replayed = 0;
    for parser in &PARSERS {
        let inputs = corpus::inputs(parser);
        assert!(
            inputs.len() > parser.good.len(),
            "the corpus of {} is gone",
            parser.name
        );
        for text in inputs {
            let answer = (parser.run)(&text);
            assert!(!answer.is_empty(), "{}: {text:?}", parser.name);
            replayed += 1;
        }
    }
    assert!(replayed > 150, "{replayed}");
}

#[test]
fn no_input_panics() {
    let long = std::env::var_os("DRAFF_LONG").is_some();
    let total = if long { LONG } else { USUAL };
    let shares: u32 = PARSERS.iter().map(|parser| parser.share).sum();
    let mut tried = 0;
    for parser in &PARSERS {
        let number = total / shares * parser.share;
        let (found, slowest) = try_inputs(parser, number, 7);
        tried += number;
        println!(
            "{}: {number} inputs, {} different answers, the slowest took {slowest:?}",
            parser.name,
            found.len()
        );
        assert!(
            found.contains_key("taken"),
            "nothing is ever taken by {}",
            parser.name
        );
        assert!(found.len() >= 2, "{}: {found:?}", parser.name);
        if long && std::env::var_os("DRAFF_WRITE_CORPUS").is_some() {
            corpus::write(parser, &found);
        }
    }
    println!("{tried} inputs");
    assert!(tried * 10 >= total * 9, "{tried} of {total}");
}
