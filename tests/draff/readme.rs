//! What the README promises is what the program does: its walk is run line by line, its cautions are
//! those of the program, its links lead somewhere.

use crate::env::on_a_terminal;
use draffbook::report::Caution;
use std::collections::BTreeMap;
use std::path::Path;
use std::process::Command;

/// Writes the answers into the README anew instead of comparing them.
const WRITE_GOLDENS: &str = "DRAFF_WRITE_GOLDENS";

/// The pages whose walk is run, one after the other in the same book.
const PAGES: [&str; 2] = ["README.md", "docs/walk.md"];

fn page(name: &str) -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(name)).unwrap()
}

fn readme() -> String {
    page("README.md")
}

/// Types the commands of the walk in a folder of its own.
struct Walker {
    folder: tempfile::TempDir,
    environment: BTreeMap<String, String>,
    commands: Vec<String>,
}

impl Walker {
    /// Runs one command line and gives what a terminal shows.
    fn run(&mut self, typed: &str) -> String {
        let words = shlex::split(&typed.replace("\\\n", " ")).unwrap();
        let (program, arguments) = words.split_first().unwrap();
        match program.as_str() {
            "export" => {
                for setting in arguments {
                    let (name, value) = setting.split_once('=').unwrap();
                    self.environment.insert(name.to_owned(), value.to_owned());
                }
                String::new()
            }
            "cat" => std::fs::read_to_string(self.folder.path().join(&arguments[0])).unwrap(),
            "draff" => {
                let mut command = Command::new(env!("CARGO_BIN_EXE_draff"));
                command
                    .args(arguments)
                    .current_dir(self.folder.path())
                    .env_clear()
                    .envs(&self.environment);
                self.commands.push(arguments[0].clone());
                on_a_terminal(command)
            }
            other => panic!("the README types `{other}`, which this test does not run"),
        }
    }
}

/// The README with every answer in its `console` blocks replaced by what the program says.
fn with_true_answers(readme: &str, walker: &mut Walker) -> String {
    let mut written = String::new();
    let mut lines = readme.lines().peekable();
    let mut in_walk = false;
    while let Some(line) = lines.next() {
        if line.starts_with("```") {
            in_walk = line == "```console";
        }
        let Some(begun) = line.strip_prefix("$ ").filter(|_| in_walk) else {
            written.push_str(line);
            written.push('\n');
            continue;
        };
        let mut typed = begun.to_owned();
        while typed.ends_with('\\') {
            typed.push('\n');
            typed.push_str(lines.next().unwrap());
        }
        while lines
            .peek()
            .is_some_and(|line| !line.starts_with("$ ") && !line.starts_with("```"))
        {
            lines.next();
        }
        written.push_str(&format!("$ {typed}\n{}", walker.run(&typed)));
    }
    written
}

#[test]
fn the_walk_shows_what_the_program_says() {
    let folder = tempfile::tempdir().unwrap();
    // Who has just built the program stands in the folder of this repository.
    let formulas = Path::new("demo-data/formulas");
    std::fs::create_dir_all(folder.path().join(formulas)).unwrap();
    for file in std::fs::read_dir(formulas).unwrap() {
        let file = file.unwrap().path();
        std::fs::copy(&file, folder.path().join(&file)).unwrap();
    }
    let mut walker = Walker {
        folder,
        environment: BTreeMap::new(),
        commands: Vec::new(),
    };
    for name in PAGES {
        let shown = page(name);
        let said = with_true_answers(&shown, &mut walker);
        if std::env::var_os(WRITE_GOLDENS).is_some() {
            std::fs::write(Path::new(env!("CARGO_MANIFEST_DIR")).join(name), &said).unwrap();
        } else {
            assert!(
                shown == said,
                "{name} shows other answers than the program gives; read them, then write them anew with \
                 {WRITE_GOLDENS}=1. First difference:\n{}",
                first_difference(&shown, &said)
            );
        }
    }
    walker.commands.dedup();
    assert_eq!(
        walker.commands,
        [
            "pickup",
            "probe",
            "moisture",
            "hold-back",
            "use",
            "shelf",
            "hold-back",
            "usage",
            "formula",
            "batch",
            "settings",
            "bake",
            "sheet",
            "bake",
            "trace",
            "bake",
            "plan"
        ]
    );
}

fn first_difference(shown: &str, said: &str) -> String {
    shown
        .lines()
        .zip(said.lines())
        .find(|(shown, said)| shown != said)
        .map_or("one is longer".to_owned(), |(shown, said)| {
            format!("page:    {shown}\nprogram: {said}")
        })
}

#[test]
fn the_cautions_are_those_of_the_program() {
    let flowing = readme().split_whitespace().collect::<Vec<_>>().join(" ");
    for caution in [
        Caution::DateIsARule,
        Caution::BakingRescuesNothing,
        Caution::Gluten,
        Caution::HotGrain,
        Caution::DryingASample,
        Caution::Dust,
        Caution::Gas,
        Caution::RawDough,
    ] {
        assert!(
            flowing.contains(&format!("- {}", caution.text())),
            "{caution:?}"
        );
    }
}

#[test]
fn the_links_lead_to_files_of_this_repository() {
    for name in PAGES {
        let page = page(name);
        let linked: Vec<&str> = page
            .split("](")
            .skip(1)
            .map(|rest| rest.split(')').next().unwrap())
            .collect();
        assert!(linked.len() >= 3, "{name}: {linked:?}");
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(name);
        let missing: Vec<&str> = linked
            .into_iter()
            .filter(|link| !folder.parent().unwrap().join(link).exists())
            .collect();
        assert_eq!(missing, [""; 0], "{name}");
    }
}

#[test]
fn the_rule_sets_and_the_least_rust_are_those_of_the_program() {
    let readme = readme();
    for (name, _) in draffbook::keeping::rules::BUILT_IN {
        assert!(readme.contains(&format!("`{name}`")), "{name}");
    }
    let manifest = include_str!("../../Cargo.toml");
    let least = manifest
        .lines()
        .find_map(|line| line.strip_prefix("rust-version = "))
        .unwrap()
        .trim_matches('"');
    assert!(
        readme.contains(&format!("Rust {least} or newer")),
        "{least}"
    );
}
