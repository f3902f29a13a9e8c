//! What a page answers to, who may see it and what it does.

use super::answer::Reply;
use super::visit::{Done, Visit};
use maud::Markup;

/// Who may come to a page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Right {
    /// Anybody who reaches the machine.
    Anyone,
    /// A paired device.
    Look,
    /// A paired device that may write.
    Write,
}

/// One address with what it answers.
#[derive(Clone, Copy)]
pub struct Route {
    /// The address, its variable parts in braces.
    pub path: &'static str,
    /// Who may come.
    pub right: Right,
    /// What happens there.
    pub work: Work,
    /// The most bytes that may be sent to it.
    pub most: usize,
}

/// What happens at an address.
#[derive(Clone, Copy)]
pub enum Work {
    /// It shows something.
    Show(fn(&mut Visit) -> anyhow::Result<Reply>),
    /// It tells the version of the book, when that is another one than the one asked about.
    Changes,
    /// It shows a form, and does what the form says when it is sent.
    Form(Form),
}

/// A form and what it does.
#[derive(Clone, Copy)]
pub struct Form {
    /// The heading.
    pub title: fn(&Visit) -> String,
    /// Its fields and its button, filled in; after a refusal with all that was typed.
    pub show: fn(&mut Visit) -> anyhow::Result<Markup>,
    /// Does it.
    pub act: fn(&mut Visit) -> anyhow::Result<Done>,
}

/// What a form may weigh: names and notes are short.
const FORM: usize = 64 * 1024;

impl Route {
    /// A page for paired devices.
    pub const fn show(path: &'static str, show: fn(&mut Visit) -> anyhow::Result<Reply>) -> Self {
        Self {
            path,
            right: Right::Look,
            work: Work::Show(show),
            most: FORM,
        }
    }

    /// A form for devices that may write.
    pub const fn form(path: &'static str, form: Form) -> Self {
        Self {
            path,
            right: Right::Write,
            work: Work::Form(form),
            most: FORM,
        }
    }

    /// Where open pages ask whether the book changed.
    pub const fn changes(path: &'static str) -> Self {
        Self {
            path,
            right: Right::Look,
            work: Work::Changes,
            most: FORM,
        }
    }

    /// The same address for others.
    #[must_use]
    pub const fn for_right(mut self, right: Right) -> Self {
        self.right = right;
        self
    }

    /// The same address for larger uploads.
    #[must_use]
    pub const fn up_to(mut self, most: usize) -> Self {
        self.most = most;
        self
    }
}
