//! `completions` and `man`: for the shell and the manual.

use crate::env::Kitchen;

#[test]
fn every_shell_gets_a_text_that_names_the_commands() {
    let kitchen = Kitchen::new();
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let text = kitchen.ok(&format!("completions {shell}"));
        for command in ["shelf", "hold-back", "export-all"] {
            assert!(text.contains(command), "{shell}: {command}");
        }
    }
    kitchen.refused(2, "completions tcsh");
}

#[test]
fn the_manual_has_a_page_for_each_command_and_touches_no_other_folder() {
    let kitchen = Kitchen::new();
    kitchen.ok("man pages");
    let page = |name: &str| std::fs::read_to_string(kitchen.folder().join("pages").join(name));
    assert!(page("draff.1").unwrap().contains("new\\-book(1)"));
    assert!(page("draff-probe.1").unwrap().contains("aw"));
    assert!(page("draff-bake-done.1").is_ok());
    let refused = kitchen.refused(1, "man pages");
    assert!(refused.contains("is not empty"), "{refused}");
}
