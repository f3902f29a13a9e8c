//! Rules that the source text itself is held to: layers, where the outside is touched, length, leftovers.

use std::path::{Path, PathBuf};

/// Which modules each may use, from left to right. A module may always use itself.
const LAYERS: [(&str, &[&str]); 16] = [
    ("quantity", &[]),
    ("grain", &["quantity"]),
    ("heat", &["quantity"]),
    ("keeping", &["quantity", "grain"]),
    ("dough", &["quantity", "grain", "heat"]),
    (
        "planning",
        &["quantity", "grain", "heat", "keeping", "dough"],
    ),
    (
        "ledger",
        &["quantity", "grain", "heat", "keeping", "dough", "planning"],
    ),
    (
        "report",
        &[
            "quantity", "grain", "heat", "keeping", "dough", "planning", "ledger",
        ],
    ),
    (
        "desk",
        &[
            "quantity", "grain", "heat", "keeping", "dough", "planning", "ledger", "report",
        ],
    ),
    ("rows", &["quantity", "grain", "ledger"]),
    (
        "render",
        &[
            "quantity", "grain", "heat", "keeping", "dough", "planning", "ledger", "report", "desk",
        ],
    ),
    ("error", &["quantity", "ledger", "desk", "render"]),
    (
        "context",
        &[
            "quantity", "grain", "heat", "keeping", "dough", "ledger", "report", "desk", "render",
            "error",
        ],
    ),
    (
        "web",
        &[
            "quantity", "grain", "heat", "keeping", "dough", "planning", "ledger", "report",
            "desk", "rows", "render",
        ],
    ),
    (
        "commands",
        &[
            "quantity", "grain", "heat", "keeping", "dough", "planning", "ledger", "report",
            "desk", "rows", "render", "web", "error", "context",
        ],
    ),
    (
        "lib",
        &[
            "quantity", "grain", "heat", "keeping", "dough", "planning", "ledger", "report",
            "desk", "rows", "render", "web", "error", "context", "commands",
        ],
    ),
];

/// Lines of one file, unless it is a test.
const LONGEST_FILE: usize = 450;

/// Lines of what is read first: more belongs into `docs/`.
const LONGEST_PAGES: [(&str, usize); 2] = [("README.md", 245), ("DEVELOPERS.md", 150)];

/// Calls that may fail on a value that cannot occur: file, call, why it cannot.
const CANNOT_FAIL: [(&str, &str, &str); 1] = [(
    "grain/mod.rs",
    ".expect(\"a number clipped to the inside of 0 to 1 is a moisture\")",
    "the value is clipped to the range the line before",
)];

struct Source {
    /// Below `src`, with `/` between.
    name: String,
    /// Without its unit tests and without comments.
    code: String,
    lines: usize,
    is_test: bool,
}

/// Every source file of the crate.
fn sources() -> Vec<Source> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut found = Vec::new();
    let mut folders = vec![root.clone()];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path: PathBuf = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|extension| extension == "rs") {
                found.push(read(&root, &path));
            }
        }
    }
    found.sort_by(|one, other| one.name.cmp(&other.name));
    assert!(
        found.len() > 40,
        "the source was found: {} files",
        found.len()
    );
    found
}

fn read(root: &Path, path: &Path) -> Source {
    let name = path
        .strip_prefix(root)
        .unwrap()
        .to_str()
        .unwrap()
        .replace('\\', "/");
    let text = std::fs::read_to_string(path).unwrap();
    // Unit tests stand at the end of a file, or in a file of their own that its parent declares a test.
    let shipped = text.split("#[cfg(test)]\nmod tests {").next().unwrap_or("");
    let code: String = shipped
        .lines()
        .map(|line| line.split("//").next().unwrap_or(""))
        .map(|line| format!("{line}\n"))
        .collect();
    Source {
        is_test: is_declared_a_test(path),
        lines: text.lines().count(),
        code,
        name,
    }
}

/// Whether this module, or one that holds it, is declared as `#[cfg(test)] mod NAME;`.
fn is_declared_a_test(path: &Path) -> bool {
    let stem = path.file_stem().unwrap().to_str().unwrap();
    let folder = path.parent().unwrap();
    let declared = format!("#[cfg(test)]\nmod {stem};");
    [folder.join("mod.rs"), folder.with_extension("rs")]
        .iter()
        .filter(|parent| *parent != path)
        .any(|parent| {
            std::fs::read_to_string(parent)
                .is_ok_and(|text| text.contains(&declared) || is_declared_a_test(parent))
        })
}

fn shipped() -> Vec<Source> {
    let shipped: Vec<Source> = sources()
        .into_iter()
        .filter(|source| !source.is_test)
        .collect();
    assert!(
        shipped.len() < sources().len(),
        "files of tests are told apart"
    );
    shipped
}

/// The module that a file belongs to: `quantity/mass.rs` to `quantity`.
fn module(name: &str) -> &str {
    name.split(['/', '.']).next().unwrap_or(name)
}

/// The modules that a text names after `crate::`, groups in braces included.
fn used(code: &str) -> Vec<String> {
    let mut found = Vec::new();
    for (at, start) in code.match_indices("crate::") {
        let rest = &code[at + start.len()..];
        if let Some(group) = rest.strip_prefix('{') {
            // The first word of each part at the outer level of the group.
            let mut depth = 0;
            let mut part = String::new();
            for c in group.chars() {
                match c {
                    '{' => depth += 1,
                    '}' if depth == 0 => break,
                    '}' => depth -= 1,
                    ',' if depth == 0 => found.push(std::mem::take(&mut part)),
                    _ if depth == 0 => part.push(c),
                    _ => {}
                }
            }
            found.push(part);
        } else {
            found.push(rest.to_owned());
        }
    }
    found
        .iter()
        .map(|path| {
            path.trim_start()
                .chars()
                .take_while(|c| c.is_alphanumeric() || *c == '_')
                .collect::<String>()
        })
        .filter(|module| !module.is_empty())
        .collect()
}

#[test]
fn paths_are_found_in_every_form() {
    assert_eq!(used("use crate::grain::Form;"), ["grain"]);
    assert_eq!(
        used("fn f(x: crate::ledger::Book) -> crate::report::Lot"),
        ["ledger", "report"]
    );
    assert_eq!(
        used("use crate::{grain::{Form, Kind}, ledger};"),
        ["grain", "ledger"]
    );
}

#[test]
fn arrows_run_to_the_left_only() {
    let mut wrong = Vec::new();
    let mut arrows = 0;
    for source in sources() {
        let from = module(&source.name);
        if from == "main" {
            continue;
        }
        let allowed = LAYERS.iter().find(|(name, _)| *name == from);
        let (_, allowed) = allowed.unwrap_or_else(|| panic!("{} belongs to no layer", source.name));
        for to in used(&source.code) {
            arrows += 1;
            if to != from && !allowed.contains(&to.as_str()) {
                wrong.push(format!("{} uses {to}", source.name));
            }
        }
    }
    assert_eq!(wrong, Vec::<String>::new());
    assert!(arrows > 100, "arrows were found: {arrows}");
}

/// Words that only some files may hold: the word, where it is allowed, why.
const KEPT_TO: [(&str, &[&str], &str); 14] = [
    ("rusqlite", &["ledger/"], "SQL is the ledger's"),
    (
        "clap::",
        &["commands/"],
        "the command line is the commands'",
    ),
    (
        "serde::",
        &[
            "context.rs",
            "render/",
            "keeping/rule_file.rs",
            "dough/formula/file.rs",
            "quantity/toml_text.rs",
        ],
        "files have types of their own",
    ),
    ("Utc::now", &["context.rs"], "one reader of the clock"),
    ("Local::now", &[], "the zone is the book's"),
    ("SystemTime", &[], "one reader of the clock"),
    ("Instant::now", &["context.rs"], "one reader of the clock"),
    ("env::var", &["context.rs"], "one reader of the environment"),
    (
        "try_system",
        &["context.rs"],
        "one reader of the environment",
    ),
    (
        "std::env",
        &["context.rs", "main.rs"],
        "one reader of the environment",
    ),
    (
        "std::fs",
        &["context.rs", "ledger/", "commands/"],
        "the domain touches no files",
    ),
    (
        "stdout(",
        &["main.rs"],
        "commands write where they are told",
    ),
    (
        "stderr(",
        &["main.rs", "commands/mod.rs", "context.rs"],
        "commands write where they are told",
    ),
    ("process::exit", &[], "codes are returned"),
];

#[test]
fn the_outside_is_touched_in_few_places() {
    let mut wrong = Vec::new();
    for source in shipped() {
        for (word, allowed, why) in KEPT_TO {
            let here = allowed.iter().any(|place| source.name.starts_with(place));
            if !here && source.code.contains(word) {
                wrong.push(format!("{} holds `{word}`: {why}", source.name));
            }
        }
    }
    assert_eq!(wrong, Vec::<String>::new());
}

/// Whether a text names the ledger's `Act` or begins one.
fn writes_to_the_book(code: &str) -> bool {
    let named = code.split("ledger::").skip(1).any(|rest| {
        let path = match rest.strip_prefix('{') {
            Some(group) => group.split('}').next().unwrap_or(""),
            None => rest
                .split(|c: char| !c.is_alphanumeric())
                .next()
                .unwrap_or(""),
        };
        path.split(|c: char| !c.is_alphanumeric())
            .any(|word| word == "Act")
    });
    named || code.contains("Act<") || code.contains(".act(")
}

/// The ledger's acts write whatever they are told: no other code may write past the desk's guard.
#[test]
fn only_the_desk_writes_to_the_book() {
    assert!(writes_to_the_book("use crate::ledger::{self, Act, View};"));
    assert!(writes_to_the_book("fn f(act: &mut crate::ledger::Act)"));
    assert!(!writes_to_the_book(
        "use crate::ledger::{About, Book}; Done::Act"
    ));
    let mut wrong = Vec::new();
    let (mut of_desk, mut of_ledger) = (0, 0);
    for source in shipped() {
        match module(&source.name) {
            "desk" => of_desk += usize::from(writes_to_the_book(&source.code)),
            "ledger" => {
                // Neither may another crate: an act of the ledger is the crate's own.
                let marked = source.code.replace("impl<'a> Act<'a>", "impl Act<'_>");
                for part in marked.split("impl Act<'_> {").skip(1) {
                    of_ledger += 1;
                    let body = part.split("\n}\n").next().unwrap_or("");
                    let public = body.lines().map(str::trim);
                    let public = public.filter(|line| line.starts_with("pub fn "));
                    wrong.extend(public.map(|line| format!("{}: {line}", source.name)));
                }
            }
            _ if writes_to_the_book(&source.code) => wrong.push(source.name),
            _ => {}
        }
    }
    assert_eq!(wrong, Vec::<String>::new());
    assert!(
        of_desk > 10 && of_ledger > 5,
        "{of_desk}, {of_ledger} were found"
    );
}

/// What a counter does is none of the desk's business: how words are typed, worded, shown.
#[test]
fn the_desk_knows_no_counter() {
    let mut wrong = Vec::new();
    for source in shipped().iter().filter(|one| module(&one.name) == "desk") {
        for word in ["clap", "Write", "render", "\"--", " --", "`--", "draff "] {
            if source.code.contains(word) {
                wrong.push(format!("{} holds `{word}`", source.name));
            }
        }
    }
    assert_eq!(wrong, Vec::<String>::new());
}

/// Text of commands is the counter's: a page makes a link of the same remedy.
#[test]
fn commands_are_named_by_the_command_line_only() {
    const COUNTER: [&str; 6] = ["render", "commands", "context", "error", "main", "web"];
    let named: Vec<String> = shipped()
        .into_iter()
        .filter(|source| !COUNTER.contains(&module(&source.name)))
        .filter(|source| source.code.contains("draff "))
        .map(|source| source.name)
        .collect();
    assert_eq!(named, Vec::<String>::new(), "files that name a command");
}

#[test]
fn nothing_is_printed_past_the_errand() {
    let mut wrong = Vec::new();
    for source in shipped() {
        for word in ["println!", "eprintln!", "print!(", "eprint!(", "dbg!"] {
            if source.code.contains(word) {
                wrong.push(format!("{} holds {word}", source.name));
            }
        }
    }
    assert_eq!(wrong, Vec::<String>::new());
}

#[test]
fn nothing_panics_on_what_a_user_does() {
    let mut wrong = Vec::new();
    let mut excused = Vec::new();
    for source in shipped() {
        for line in source.code.lines() {
            let panics = [
                ".unwrap()",
                ".expect(",
                "panic!",
                "unreachable!",
                ".unwrap_err()",
            ]
            .iter()
            .any(|word| line.contains(word));
            if !panics {
                continue;
            }
            match CANNOT_FAIL
                .iter()
                .find(|(file, call, _)| source.name == *file && line.contains(call))
            {
                Some(excuse) => excused.push(excuse.0),
                None => wrong.push(format!("{}: {}", source.name, line.trim())),
            }
        }
    }
    assert_eq!(wrong, Vec::<String>::new());
    assert_eq!(
        excused.len(),
        CANNOT_FAIL.len(),
        "an exception that is no longer needed"
    );
}

#[test]
fn nothing_is_left_over() {
    let mut wrong = Vec::new();
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    for source in sources() {
        let text = std::fs::read_to_string(root.join("src").join(&source.name)).unwrap();
        for word in [
            "TODO",
            "FIXME",
            "XXX",
            "HACK",
            "todo!",
            "unimplemented!",
            "#[ignore",
            "allow(dead_code)",
        ] {
            if text.contains(word) {
                wrong.push(format!("{} holds {word}", source.name));
            }
        }
    }
    assert_eq!(wrong, Vec::<String>::new());
}

#[test]
fn no_file_grows_too_long() {
    let long: Vec<String> = shipped()
        .into_iter()
        .filter(|source| source.lines > LONGEST_FILE)
        .map(|source| format!("{} has {} lines", source.name, source.lines))
        .collect();
    assert_eq!(long, Vec::<String>::new());
}

#[test]
fn what_is_read_first_is_short() {
    for (name, most) in LONGEST_PAGES {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(name);
        let lines = std::fs::read_to_string(path).unwrap().lines().count();
        assert!(lines <= most, "{name} has {lines} lines");
    }
}

#[test]
fn every_file_says_what_it_is_for() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    for source in shipped() {
        let text = std::fs::read_to_string(root.join(&source.name)).unwrap();
        assert!(text.starts_with("//!"), "{} has no heading", source.name);
    }
}

#[test]
fn the_domain_is_silent_about_formats() {
    for source in shipped() {
        let domain = ["quantity", "grain", "heat", "keeping", "dough", "planning"]
            .contains(&module(&source.name));
        let derives = source.code.contains("Serialize");
        assert!(
            !domain || !derives,
            "{} is a domain type and no format",
            source.name
        );
    }
}

/// What is put into the text of a statement: the file, the insertion, why no text of a user can be in it.
/// Values are bound.
const IN_SQL: [(&str, &str, &str); 45] = [
    ("ledger/", "{COLUMNS}", "a constant list of columns"),
    ("ledger/", "{IN_FORCE}", "a constant condition"),
    ("ledger/", "{FIRST}", "a constant expression"),
    ("ledger/", "{of_lot}", "one of two literals"),
    ("ledger/twice.rs", "{came}", "a constant condition"),
    ("ledger/entries.rs", "{condition}", "literals joined by AND"),
    (
        "ledger/as_of.rs",
        "{newest}",
        "a whole number: a view takes no bound values",
    ),
    (
        "ledger/as_of.rs",
        "{these}",
        "a condition of whole numbers: a view takes no bound values",
    ),
    ("ledger/trace.rs", "{next}", "a literal of the caller"),
    ("ledger/", "{kinds}", "literals joined by commas"),
    ("ledger/", "{eaten}", "literals joined by commas"),
    ("ledger/stays.rs", "{taken}", "literals joined by commas"),
    ("ledger/stays.rs", "{candidates}", "one of two conditions"),
    (
        "ledger/chain/written.rs",
        "{columns}",
        "constant lists of columns",
    ),
    ("ledger/chain/written.rs", "{number}", "a constant column"),
    ("ledger/chain/written.rs", "{of}", "constant columns"),
    ("ledger/chain", "{from}", "a constant table"),
    ("ledger/", "{head}", "a literal of the caller"),
    ("ledger/", "{several}", "question marks"),
    ("ledger/", "{one}", "question marks"),
    (
        "ledger/tables/rows.rs",
        "{}",
        "names of the schema, quoted, and the order",
    ),
    (
        "ledger/load.rs",
        "{}",
        "names of the schema, quoted, and question marks",
    ),
    ("ledger/", "{open}", "a constant part"),
    ("ledger/", "{SETTING}", "a constant part"),
    ("ledger/bakes.rs", "{OF_FORMULA}", "a constant part"),
    ("ledger/", "{FACTS}", "a constant part"),
    ("ledger/", "{GRIST}", "a constant part"),
    ("ledger/moisture.rs", "{continued}", "a constant condition"),
    (
        "ledger/moisture.rs",
        "{WEIGHED}",
        "a constant list of columns",
    ),
    ("ledger/moisture.rs", "{WEIGHINGS}", "a constant part"),
    (
        "ledger/moisture.rs",
        "{STEPS}",
        "a constant list of columns",
    ),
    ("ledger/period.rs", "{continued}", "a constant condition"),
    ("ledger/period.rs", "{REPORTED}", "a constant condition"),
    ("ledger/", "{leaves}", "literals joined by commas"),
    ("ledger/", "{written}", "a constant expression"),
    ("ledger/", "{KEEPS_ITS_TIME}", "a constant condition"),
    ("ledger/when_written.rs", "{later}", "a constant condition"),
    (
        "ledger/when_written.rs",
        "{in_force}",
        "a constant condition",
    ),
    ("ledger/as_of.rs", "{OUT_OF_FORCE}", "a constant view"),
    ("ledger/as_of.rs", "{was_tested}", "a constant condition"),
    ("ledger/as_of.rs", "{had_come}", "a constant condition"),
    ("ledger/goes_with.rs", "{with_it}", "one of two literals"),
    ("ledger/goes_with.rs", "{rest}", "one of two literals"),
    ("ledger/", "{TREATED}", "a constant list of columns"),
    (
        "ledger/goes_with.rs",
        "{is_of_it}",
        "a condition with that literal",
    ),
];

/// The first argument of every `format!` with a statement in it.
fn statements(code: &str) -> Vec<&str> {
    code.split("format!(")
        .skip(1)
        .filter_map(|rest| {
            let text = rest.trim_start().strip_prefix('"')?;
            // A quote inside is written with a backslash.
            let ends = |(at, _): &(usize, &str)| !text[..*at].ends_with('\\');
            let (end, _) = text.match_indices('"').find(ends)?;
            let words = [
                "SELECT ", "INSERT ", "UPDATE ", "DELETE ", "DROP ", "PRAGMA ", " VALUES ",
            ];
            words
                .iter()
                .any(|word| text[..end].contains(word))
                .then_some(&text[..end])
        })
        .collect()
}

/// What makes an entry count is written once.
#[test]
fn one_condition_says_that_an_entry_is_in_force() {
    let spelt: Vec<String> = shipped()
        .iter()
        .flat_map(|source| {
            let times = source
                .code
                .matches("NOT EXISTS (SELECT 1 FROM out_of_force AS")
                .count();
            vec![source.name.clone(); times]
        })
        .collect();
    assert_eq!(spelt, ["ledger/in_force.rs"]);
}

#[test]
fn values_are_bound_and_never_written_into_a_statement() {
    let (mut wrong, mut seen, mut used) = (Vec::new(), 0, std::collections::BTreeSet::new());
    for source in shipped()
        .iter()
        .filter(|source| source.name.starts_with("ledger/"))
    {
        for statement in statements(&source.code) {
            seen += 1;
            for part in statement.split('{').skip(1) {
                let insertion = format!("{{{}}}", part.split('}').next().unwrap());
                let known = IN_SQL.iter().position(|(file, known, _)| {
                    source.name.starts_with(file) && *known == insertion
                });
                match known {
                    Some(place) => {
                        used.insert(place);
                    }
                    None => wrong.push(format!("{}: {insertion} in {statement}", source.name)),
                }
            }
        }
    }
    assert_eq!(wrong, Vec::<String>::new());
    assert!(seen >= 10, "statements were found: {seen}");
    let unused: Vec<_> = (0..IN_SQL.len())
        .filter(|place| !used.contains(place))
        .map(|place| IN_SQL[place].1)
        .collect();
    assert_eq!(unused, [""; 0], "an exception that is no longer needed");
}

#[test]
fn what_ships_has_no_unsafe_code() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    for name in ["lib.rs", "main.rs"] {
        let text = std::fs::read_to_string(root.join(name)).unwrap();
        assert!(text.contains("#![forbid(unsafe_code)]"), "{name}");
    }
}
