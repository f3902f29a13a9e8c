//! One request of one person: what was sent, who sent it, and a desk at the book for it.

use super::answer::Reply;
use super::answer_notes::AnswerNotes;
use super::draw;
use super::fields::Typed;
use super::pages::pair;
use super::refused::Refused;
use super::route::{Form, Right, Route, Work};
use super::sent::{ACT_ID, Sent, TOKEN, own_cookie};
use super::trouble::{Held, Trouble, trouble, unopened};
use super::understood::{self, Understood};
use super::{Shared, secrets};
use crate::desk::{Answer, Desk, DeviceRecord, Refusal};
use crate::ledger;
use crate::quantity::{Instant, Problem, Zone};
use crate::render;
use crate::render::numbers::Units;
use crate::report::LotAnswer;
use axum::http::StatusCode;
use maud::Markup;
use std::sync::Arc;

/// One request.
pub struct Visit {
    /// What all requests share.
    pub shared: Arc<Shared>,
    /// The moment of it.
    pub now: Instant,
    /// Who sent it; nobody at the pages that are for anyone.
    pub device: Option<DeviceRecord>,
    /// The desk at the book.
    pub desk: Desk,
    /// What was typed.
    pub typed: Typed,
    /// The version of the book when it was opened.
    version: String,
    sent: Sent,
    act_id: String,
    secret: String,
    renewed: Option<String>,
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

/// Whose name the form says that it books under.
const BENCH: &str = "bench";
/// What was shown of numbers that are not as they were typed.
const UNDERSTOOD: &str = "understood";
/// Somebody was asked about the clock of the device.
const CLOCK_TURNED: &str = "clock_turned";

/// What is answered, and the cookie to renew.
pub struct Answered {
    /// The answer.
    pub reply: Result<Reply, Refused>,
    /// The cookie.
    pub cookie: Option<String>,
}

/// Answers a request.
pub fn answer(shared: &Arc<Shared>, route: &Route, sent: Sent) -> Answered {
    let now = shared.now();
    let mut visit = match Visit::new(shared.clone(), now, sent) {
        Ok(visit) => visit,
        Err(failed) => {
            let (error, sent) = *failed;
            let trouble = unopened(shared, &error);
            let page = draw::without_a_book(&shared.files, &trouble, &sent);
            return Answered {
                reply: Ok(Reply::PageWith(trouble.status, page)),
                cookie: None,
            };
        }
    };
    let reply = visit.admit(route.right).and_then(|()| visit.work(route));
    // What went wrong may be the book: the next request opens it anew.
    if !matches!(&reply, Err(_) | Ok(Reply::PageWith(..))) {
        shared.books.lay_by(visit.desk.into_book());
    }
    Answered {
        reply,
        cookie: visit.renewed,
    }
}

impl Visit {
    fn new(
        shared: Arc<Shared>,
        now: Instant,
        sent: Sent,
    ) -> Result<Self, Box<(anyhow::Error, Sent)>> {
        let secret = own_cookie(&shared, &sent);
        let opened = shared.books.take(&shared.book, now).and_then(|book| {
            let desk = Desk::new(book, now, None);
            let device = match &secret {
                Some(secret) => desk.device_of(secrets::digest(secret))?,
                None => None,
            };
            let version = desk.version()?;
            Ok((desk, device, version))
        });
        let (desk, device, version) = match opened {
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
            version,
            renewed: None,
            shared,
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
            if let Ok(true) = self.desk.note_seen(&device) {
                self.renewed = Some(pair::cookie(&self.shared, &self.secret));
            }
        }
        Ok(())
    }

    fn work(&mut self, route: &Route) -> Result<Reply, Refused> {
        let error = match route.work {
            Work::Show(show) => match show(self) {
                Ok(reply) => return Ok(reply),
                Err(error) => error,
            },
            Work::Changes => return Ok(Reply::Version(self.version.clone())),
            Work::Form(form) if self.sent.is_post => return self.take(form, route.right),
            Work::Form(form) => match self.blank(form) {
                Ok(page) => return Ok(Reply::Page(page)),
                Err(error) => error,
            },
        };
        if let Some(Stopped(refused)) = error.downcast_ref() {
            return Err(*refused);
        }
        let trouble = self.trouble_of_look(&error);
        let page = draw::refusal(self, &trouble);
        Ok(Reply::PageWith(trouble.status, page))
    }

    fn blank(&mut self, form: Form) -> anyhow::Result<Markup> {
        let fields = (form.show)(self)?;
        Ok(draw::form(self, &(form.title)(self), &fields, None))
    }

    /// Does what a form says. After a refusal the form is shown again, with all that was typed.
    fn take(&mut self, form: Form, right: Right) -> Result<Reply, Refused> {
        let done = match right {
            Right::Write => self.refuse_doubtful().and_then(|()| {
                let unseen = self.unseen();
                if unseen.is_empty() {
                    return (form.act)(self);
                }
                let fields = (form.show)(self)?;
                let page = draw::to_confirm(self, &(form.title)(self), &fields, &unseen);
                Ok(Done::Answered(Box::new(page)))
            }),
            Right::Look | Right::Anyone => (form.act)(self),
        };
        let error = match done {
            Ok(Done::Booked) => return Ok(self.go_to(self.page_of_act())),
            Ok(Done::GoTo(address)) => return Ok(self.go_to(address)),
            Ok(Done::Paired(address, cookie)) => return Ok(Reply::GoToWith(address, cookie)),
            Ok(Done::Answered(page)) => return Ok(Reply::Page(*page)),
            Ok(Done::Sent(reply)) => return Ok(reply),
            Err(error) => error,
        };
        if let Some(refused) = error.downcast_ref::<Stopped>() {
            return Err(refused.0);
        }
        if let Some(Refusal::Book(ledger::BookRefusal::DoneBefore { .. })) = Refusal::of(&error) {
            return Ok(self.go_to(self.page_of_act()));
        }
        let trouble = self.trouble(&error);
        let status = trouble.status;
        let page = match (form.show)(self) {
            Ok(fields) => draw::form(self, &(form.title)(self), &fields, Some(&trouble)),
            // What the form is about is gone or cannot be read: what was typed stays on the page all the same.
            Err(_) => draw::without_a_book(&self.shared.files, &trouble, &self.sent),
        };
        Ok(Reply::PageWith(status, page))
    }

    /// The page's script reads where an act led to; a browser goes there.
    fn go_to(&self, address: String) -> Reply {
        match self.sent.keyed {
            Some(_) => Reply::Made(address),
            None => Reply::GoTo(address),
        }
    }

    /// Asks back where it is in doubt under whose name or when something was done. What is in the book stays there.
    fn refuse_doubtful(&mut self) -> anyhow::Result<()> {
        if self.desk.entry_of_act(&self.act_id)?.is_some() {
            return Ok(());
        }
        if let Some(last) = self.desk.entry_after_now()? {
            return Err(Held::ClockBehind(self.zone().rfc3339(last)).into());
        }
        let typed_by = self.typed.hidden(BENCH);
        if !typed_by.is_empty() && typed_by != self.bench() {
            return Err(Held::AnotherAtBench(typed_by.to_owned()).into());
        }
        let is_turned = |keyed: super::sent::Keyed| keyed.moment(self.now).is_none();
        let is_asked = self.typed.given(CLOCK_TURNED).is_some();
        if self.sent.keyed.is_some_and(is_turned) && !is_asked {
            let problem = Problem::new("say when it was: this device's clock was changed since");
            self.typed.fault("at", &problem);
            return Err(Held::ClockTurned.into());
        }
        Ok(())
    }

    /// What was understood of numbers otherwise than it was typed, and was not shown yet.
    fn unseen(&self) -> Vec<Understood> {
        let seen = self.typed.hidden(UNDERSTOOD);
        let mut found = understood::of(&self.typed, self.units());
        found.retain(|one| !seen.split('|').any(|known| known == one.key));
        found
    }

    /// When it was done where nobody says when: when it was typed.
    pub fn moment(&self) -> Instant {
        let typed = self.sent.keyed.and_then(|keyed| keyed.moment(self.now));
        typed.unwrap_or(self.now)
    }

    /// When it was typed, where that is known to be another moment than now.
    pub fn typed_at(&self) -> Option<Instant> {
        let moment = self.moment();
        (moment != self.now).then_some(moment)
    }

    fn page_of_act(&self) -> String {
        match self.desk.entry_of_act(&self.act_id) {
            Ok(Some(entry)) => format!("/entry/{entry}?act={}", self.act_id),
            _ => "/book/log".to_owned(),
        }
    }

    /// Keeps what is to be told of an act for the page that shows it.
    pub fn booked<T>(&self, answer: &Answer<T>) -> Done {
        self.shared
            .recent_notes
            .keep(&self.act_id, self.notes_of(answer));
        Done::Booked
    }

    /// The same of an act that made several lots: the page of its entry shows all codes.
    pub fn booked_lots<T>(&self, answer: &Answer<T>, number: usize, lots: &[LotAnswer]) -> Done {
        let notes = AnswerNotes {
            lots: number,
            made: lots.iter().map(|lot| lot.lot.code).collect(),
            ..self.notes_of(answer)
        };
        self.shared.recent_notes.keep(&self.act_id, notes);
        Done::Booked
    }

    /// What stands beside an answer, in words.
    pub fn notes_of<T>(&self, answer: &Answer<T>) -> AnswerNotes {
        let words = |notice| render::notice::words(notice, self.units(), self.zone());
        let (warnings, notices): (Vec<_>, Vec<_>) = answer
            .notices
            .iter()
            .partition(|notice| notice.is_warning());
        AnswerNotes {
            warnings: warnings.into_iter().map(words).collect(),
            notices: notices.into_iter().map(words).collect(),
            cautions: answer
                .cautions
                .iter()
                .map(|caution| self.units().in_words(&caution.text()))
                .collect(),
            ..AnswerNotes::default()
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
        self.sent.asked(name)
    }

    /// The address of this request.
    pub fn address(&self) -> &str {
        &self.sent.address
    }

    /// The host by which the browser reaches us.
    pub fn host(&self) -> &str {
        &self.sent.host
    }

    /// The address by which the browser reaches us.
    pub fn origin(&self) -> String {
        format!("{}://{}", self.shared.scheme(), self.sent.host)
    }

    /// A file that was sent: its name and what is in it.
    pub fn file(&self) -> Option<(&str, &[u8])> {
        let file = self.sent.file.as_ref();
        file.map(|(name, bytes)| (name.as_str(), bytes.as_slice()))
    }

    /// The hidden fields of a form: names and values.
    pub fn hidden(&self) -> Vec<(&'static str, String)> {
        let mut hidden = vec![(TOKEN, self.token()), (ACT_ID, self.act_id.clone())];
        if self.device.is_some() {
            hidden.push((BENCH, self.bench().to_owned()));
            let unseen = understood::of(&self.typed, self.units());
            let keys: Vec<String> = unseen.into_iter().map(|one| one.key).collect();
            hidden.push((UNDERSTOOD, keys.join("|")));
        }
        if self.typed.fault_of("at").is_some() && self.sent.keyed.is_some() {
            hidden.push((CLOCK_TURNED, "1".to_owned()));
        }
        hidden
    }

    /// The token of this device's forms.
    pub fn token(&self) -> String {
        secrets::token(&self.secret)
    }

    /// The token of this device's calendar.
    pub fn calendar(&self) -> String {
        secrets::calendar(&secrets::digest(&self.secret))
    }

    /// What every page tells while the machine's clock stands before an entry that counts.
    pub fn clock_is_behind(&self) -> Option<String> {
        // A book that cannot be asked is told by the page itself.
        let last = self.desk.entry_after_now().ok().flatten()?;
        let behind = Held::ClockBehind(self.zone().in_words(last));
        Some(format!(
            "{behind}. Lots are shown as of that entry, and nothing is booked"
        ))
    }

    /// The version of the book for a page that may be looked at again; nothing for the answer to a form.
    pub fn version(&self) -> Option<&str> {
        (!self.sent.is_post).then_some(self.version.as_str())
    }

    /// The units to show.
    pub fn units(&self) -> Units {
        self.shared.units
    }

    /// The book's time zone.
    pub fn zone(&self) -> &Zone {
        self.desk.zone()
    }

    /// What an error is called on the page.
    pub fn trouble(&self, error: &anyhow::Error) -> Trouble {
        trouble(&self.shared, error, self.zone())
    }

    /// The same where something was only to be shown: what nobody can show is not there.
    pub fn trouble_of_look(&self, error: &anyhow::Error) -> Trouble {
        let mut trouble = self.trouble(error);
        if trouble.status == StatusCode::UNPROCESSABLE_ENTITY {
            trouble.status = StatusCode::NOT_FOUND;
        }
        trouble
    }
}

/// A refusal of the page in the middle of a form.
#[derive(Debug, thiserror::Error)]
#[error("{0:?}")]
pub struct Stopped(pub Refused);
