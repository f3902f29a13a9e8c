//! One request of one person: what was sent, who sent it, and a desk at the book for it.

use super::answer::Reply;
use super::draw;
use super::fields::{Faulty, Typed};
use super::refused::Refused;
use super::route::{Form, Right, Route, Work};
use super::told::Words;
use super::{House, remedies, secrets};
use crate::desk::{Answer, Desk, DeviceRecord, Once, Refusal};
use crate::ledger::{self, Book, failure};
use crate::quantity::{Instant, Problem, Zone};
use crate::render;
use crate::render::numbers::Units;
use axum::http::StatusCode;
use maud::Markup;
use sha2::{Digest, Sha256};
use std::sync::Arc;

/// What was sent.
#[derive(Default)]
pub struct Sent {
    /// The host that the browser names.
    pub host: String,
    /// Its cookies, each with name and value.
    pub cookies: Vec<String>,
    /// Whether a form was sent.
    pub is_post: bool,
    /// The variable parts of the address.
    pub path: Vec<(String, String)>,
    /// The address with its query.
    pub address: String,
    /// The query.
    pub query: Vec<(String, String)>,
    /// The fields of the form.
    pub fields: Vec<(String, String)>,
    /// A file that was sent with it.
    pub file: Option<(String, Vec<u8>)>,
}

/// One request.
pub struct Visit {
    /// What all requests share.
    pub house: Arc<House>,
    /// The moment of it.
    pub now: Instant,
    /// Who sent it; nobody at the pages that are for anyone.
    pub device: Option<DeviceRecord>,
    /// The desk at the book.
    pub desk: Desk,
    /// What was typed.
    pub typed: Typed,
    sent: Sent,
    act_id: String,
    secret: String,
}

/// What became of a form.
pub enum Done {
    /// It is in the book: its page shows it.
    Booked,
    /// It is done, and another page shows it.
    GoTo(String),
    /// The same, with a new cookie.
    Paired(String, String),
    /// A page is the answer: nothing was booked.
    Answered(Box<Markup>),
    /// A file is the answer.
    Sent(Reply),
}

/// What a refusal is called on the page: what was found, and what to do about it.
pub struct Trouble {
    /// What was found.
    pub found: String,
    /// What to do, each with the address where it is done.
    pub remedies: Vec<(String, Option<String>)>,
    status: StatusCode,
}

/// The hidden fields of every form.
const TOKEN: &str = "form_token";
const ACT_ID: &str = "act_id";

/// Answers a request.
pub fn answer(house: &Arc<House>, route: &Route, sent: Sent) -> Result<Reply, Refused> {
    let now = house.now();
    let style = house.files.style_address();
    let mut visit = match Visit::new(house.clone(), now, sent) {
        Ok(visit) => visit,
        Err(failed) => {
            let (error, sent) = *failed;
            let trouble = unopened(house, &error);
            return Ok(Reply::PageWith(
                trouble.status,
                draw::without_a_book(style, &trouble, &sent),
            ));
        }
    };
    visit.admit(route.right)?;
    match route.work {
        Work::Show(show) => match show(&mut visit) {
            Ok(reply) => Ok(reply),
            Err(error) => {
                if let Some(Stopped(refused)) = error.downcast_ref() {
                    return Err(*refused);
                }
                let trouble = visit.trouble(&error);
                let status = match trouble.status {
                    StatusCode::UNPROCESSABLE_ENTITY => StatusCode::NOT_FOUND,
                    other => other,
                };
                Ok(Reply::PageWith(status, draw::refusal(&visit, &trouble)))
            }
        },
        Work::Form(form) if visit.sent.is_post => visit.take(form),
        Work::Form(form) => match visit.blank(form) {
            Ok(page) => Ok(Reply::Page(page)),
            Err(error) => {
                let trouble = visit.trouble(&error);
                Ok(Reply::PageWith(
                    StatusCode::NOT_FOUND,
                    draw::refusal(&visit, &trouble),
                ))
            }
        },
    }
}

impl Visit {
    fn new(
        house: Arc<House>,
        now: Instant,
        sent: Sent,
    ) -> Result<Self, Box<(anyhow::Error, Sent)>> {
        let secret = own_cookie(&house, &sent);
        let opened = Book::open(&house.book, now).and_then(|book| {
            let desk = Desk::new(book.with_code_ends(), now, None);
            let device = match &secret {
                Some(secret) => desk.device_of(secrets::digest(secret))?,
                None => None,
            };
            Ok((desk, device))
        });
        let (desk, device) = match opened {
            Ok(opened) => opened,
            Err(error) => return Err(Box::new((error, sent))),
        };
        let once = sent.once();
        let act_id = once
            .as_ref()
            .map_or_else(secrets::new, |once| Ok(once.act_id.clone()));
        let act_id = match act_id {
            Ok(act_id) => act_id,
            Err(error) => return Err(Box::new((error, sent))),
        };
        let by = device.as_ref().map(|device| device.bench.clone());
        Ok(Self {
            now,
            desk: desk.signed(by).once(once),
            device,
            typed: Typed::new(sent.fields.clone(), sent.is_post),
            sent,
            act_id,
            secret: secret.unwrap_or_default(),
            house,
        })
    }

    /// Refuses who may not come, and a form that this device was not given.
    fn admit(&mut self, right: Right) -> Result<(), Refused> {
        match (right, &self.device) {
            (Right::Anyone, _) => return Ok(()),
            (_, None) => return Err(Refused::NotPaired),
            (Right::Write, Some(device)) if !device.writes => return Err(Refused::OnlyLooks),
            (Right::Look | Right::Write, Some(_)) => {}
        }
        if self.sent.is_post {
            let token = self.typed.hidden(TOKEN);
            if !secrets::same(token, &secrets::token(&self.secret)) {
                return Err(Refused::OldForm);
            }
        }
        if let Some(device) = self.device.clone() {
            // That it was seen is a courtesy: a book that is being written is no reason to refuse a look.
            let _ = self.desk.see(&device);
        }
        Ok(())
    }

    fn blank(&mut self, form: Form) -> anyhow::Result<Markup> {
        let fields = (form.show)(self)?;
        Ok(draw::form(self, &(form.title)(self), &fields, None))
    }

    /// Does what a form says. After a refusal the form is shown again, with all that was typed.
    fn take(&mut self, form: Form) -> Result<Reply, Refused> {
        let error = match (form.act)(self) {
            Ok(Done::Booked) => return Ok(Reply::GoTo(self.page_of_act())),
            Ok(Done::GoTo(address)) => return Ok(Reply::GoTo(address)),
            Ok(Done::Paired(address, cookie)) => return Ok(Reply::GoToWith(address, cookie)),
            Ok(Done::Answered(page)) => return Ok(Reply::Page(*page)),
            Ok(Done::Sent(reply)) => return Ok(reply),
            Err(error) => error,
        };
        if let Some(refused) = error.downcast_ref::<Stopped>() {
            return Err(refused.0);
        }
        if let Some(Refusal::Book(ledger::Refusal::DoneBefore { .. })) = Refusal::of(&error) {
            return Ok(Reply::GoTo(self.page_of_act()));
        }
        let trouble = self.trouble(&error);
        let status = trouble.status;
        let page = match (form.show)(self) {
            Ok(fields) => draw::form(self, &(form.title)(self), &fields, Some(&trouble)),
            // What the form is about is gone or cannot be read: what was typed stays on the page all the same.
            Err(_) => draw::without_a_book(self.house.files.style_address(), &trouble, &self.sent),
        };
        Ok(Reply::PageWith(status, page))
    }

    fn page_of_act(&self) -> String {
        match self.desk.entry_of_act(&self.act_id) {
            Ok(Some(entry)) => format!("/entry/{entry}?act={}", self.act_id),
            _ => "/book/log".to_owned(),
        }
    }

    /// Keeps what is to be told of an act for the page that shows it.
    pub fn booked<T>(&self, answer: &Answer<T>) -> Done {
        self.house.told.keep(&self.act_id, self.words_of(answer));
        Done::Booked
    }

    /// What stands beside an answer, in words.
    pub fn words_of<T>(&self, answer: &Answer<T>) -> Words {
        let words = |notice| render::notice::words(notice, self.units(), self.zone());
        let (warnings, notices): (Vec<_>, Vec<_>) = answer
            .notices
            .iter()
            .partition(|notice| notice.is_warning());
        Words {
            warnings: warnings.into_iter().map(words).collect(),
            notices: notices.into_iter().map(words).collect(),
            cautions: answer
                .cautions
                .iter()
                .map(|caution| self.units().in_words(&caution.text()))
                .collect(),
        }
    }

    /// The name of who is at the bench.
    pub fn bench(&self) -> &str {
        self.device.as_ref().map_or("", |device| &device.bench)
    }

    /// A variable part of the address.
    pub fn part(&self, name: &str) -> &str {
        let found = self.sent.path.iter().find(|(known, _)| known == name);
        found.map_or("", |(_, value)| value)
    }

    /// A value of the query; empty where it is not there.
    pub fn asked(&self, name: &str) -> &str {
        let found = self.sent.query.iter().find(|(known, _)| known == name);
        found.map_or("", |(_, value)| value)
    }

    /// The address of this request.
    pub fn address(&self) -> &str {
        &self.sent.address
    }

    /// The host by which the browser reaches us.
    pub fn host(&self) -> &str {
        &self.sent.host
    }

    /// A file that was sent: its name and what is in it.
    pub fn file(&self) -> Option<(&str, &[u8])> {
        let file = self.sent.file.as_ref();
        file.map(|(name, bytes)| (name.as_str(), bytes.as_slice()))
    }

    /// The hidden fields of a form: names and values.
    pub fn hidden(&self) -> [(&'static str, String); 2] {
        [
            (TOKEN, secrets::token(&self.secret)),
            (ACT_ID, self.act_id.clone()),
        ]
    }

    /// The units to show.
    pub fn units(&self) -> Units {
        self.house.units
    }

    /// The book's time zone.
    pub fn zone(&self) -> &Zone {
        self.desk.zone()
    }

    /// What an error is called on the page.
    pub fn trouble(&self, error: &anyhow::Error) -> Trouble {
        trouble(&self.house, error, self.zone())
    }
}

impl Sent {
    fn field(&self, name: &str) -> Option<&str> {
        let found = self.fields.iter().find(|(known, _)| known == name);
        found.map(|(_, value)| value.as_str())
    }

    /// The id of the act, with the digest of where it goes and all that was typed.
    fn once(&self) -> Option<Once> {
        let act_id = self.field(ACT_ID)?;
        let is_plain = act_id.bytes().all(|byte| byte.is_ascii_alphanumeric());
        if !self.is_post || !is_plain || !crate::desk::ACT_ID_LENGTH.contains(&act_id.len()) {
            return None;
        }
        let mut digest = Sha256::new();
        let mut add = |text: &[u8]| {
            digest.update((text.len() as u64).to_be_bytes());
            digest.update(text);
        };
        add(self.address.as_bytes());
        for (name, value) in self.typed() {
            add(name.as_bytes());
            add(value.as_bytes());
        }
        if let Some((name, bytes)) = &self.file {
            add(name.as_bytes());
            add(bytes);
        }
        Some(Once {
            act_id: act_id.to_owned(),
            request: digest.finalize().into(),
        })
    }

    /// All fields that somebody filled in.
    fn typed(&self) -> impl Iterator<Item = (&str, &str)> {
        self.fields
            .iter()
            .map(|(name, value)| (name.as_str(), value.as_str()))
            .filter(|(name, _)| *name != TOKEN && *name != ACT_ID)
    }
}

/// The secret in the cookie of this book.
fn own_cookie(house: &House, sent: &Sent) -> Option<String> {
    let name = house.cookie();
    sent.cookies.iter().find_map(|cookie| {
        let (known, value) = cookie.split_once('=')?;
        (known == name && value.len() == 32).then(|| value.to_owned())
    })
}

/// A refusal of the page in the middle of a form.
#[derive(Debug, thiserror::Error)]
#[error("{0:?}")]
pub struct Stopped(pub Refused);

/// What an error is called on the page.
fn trouble(house: &House, error: &anyhow::Error, zone: &Zone) -> Trouble {
    let units = house.units;
    let of = |problem: &Problem, status| Trouble {
        found: capital(&problem.to_string()),
        remedies: problem
            .hints()
            .iter()
            .filter(|hint| !remedies::is_typed(hint))
            .map(|hint| (hint.clone(), None))
            .collect(),
        status,
    };
    if error.is::<Faulty>() {
        return Trouble {
            found: "Look at these fields".to_owned(),
            remedies: Vec::new(),
            status: StatusCode::UNPROCESSABLE_ENTITY,
        };
    }
    if let Some(refusal) = Refusal::of(error) {
        let status = match &refusal {
            Refusal::BookHasMovedOn => StatusCode::CONFLICT,
            Refusal::Book(ledger::Refusal::NoBook(_) | ledger::Refusal::EmptyFile(_)) => {
                StatusCode::SERVICE_UNAVAILABLE
            }
            _ => StatusCode::UNPROCESSABLE_ENTITY,
        };
        return Trouble {
            found: capital(&remedies::found(&refusal, units, zone)),
            remedies: remedies::all(&refusal, units, zone),
            status,
        };
    }
    for cause in error.chain() {
        if let Some(problem) = cause.downcast_ref::<Problem>() {
            return of(problem, StatusCode::UNPROCESSABLE_ENTITY);
        }
        if let Some(problem) = failure::explain(cause) {
            return of(&problem, StatusCode::SERVICE_UNAVAILABLE);
        }
    }
    (house.log)(&format!("{error:#}"));
    Trouble {
        found: "This should not have happened".to_owned(),
        remedies: vec![(
            "Send it again: an act that is in the book is not booked twice. What happened stands where draff serve runs".to_owned(),
            None,
        )],
        status: StatusCode::INTERNAL_SERVER_ERROR,
    }
}

/// A book that cannot be opened. Nobody is known without it, so nobody is told what is wrong with it.
fn unopened(house: &House, error: &anyhow::Error) -> Trouble {
    (house.log)(&format!("{error:#}"));
    let (found, next) = if failure::is_busy(error) {
        (
            "The book is being written by another program",
            "Nothing was written. Try again in a moment",
        )
    } else {
        (
            "The book cannot be opened",
            "Nothing was written. What is wrong stands where draff serve runs",
        )
    };
    Trouble {
        found: found.to_owned(),
        remedies: vec![(next.to_owned(), None)],
        status: StatusCode::SERVICE_UNAVAILABLE,
    }
}

/// With a capital at its begin.
pub fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or(String::new(), |first| {
        first.to_uppercase().chain(letters).collect()
    })
}
