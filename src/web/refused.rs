//! Refusals of the page itself, each with its status, what was not done and what to do next.

use super::draw::{self, Files};
use axum::http::StatusCode;
use axum::response::Response;
use maud::{Markup, html};

/// Why a request was not answered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Refused {
    /// What was sent cannot be read.
    Unreadable,
    /// It came as plain HTTP, and the book is served with TLS.
    NeedsTls,
    /// The device is not paired, or was ended.
    NotPaired,
    /// The browser names a host that is none of our names.
    UnknownHost,
    /// The form was sent by another site.
    OtherSite,
    /// The form is not one that this device was given.
    OldForm,
    /// The device may only look.
    OnlyLooks,
    /// There is no such page.
    NoPage,
    /// The address does not take this method.
    NoMethod,
    /// Sending took too long.
    TooSlow,
    /// Too much was sent.
    TooLarge,
    /// It was sent in a form that we do not read.
    WrongType,
    /// Too many codes were tried.
    TooMany,
    /// A defect of ours.
    Defect,
}

impl Refused {
    /// Its status.
    pub const fn status(self) -> StatusCode {
        match self {
            Self::Unreadable | Self::NeedsTls => StatusCode::BAD_REQUEST,
            Self::NotPaired => StatusCode::UNAUTHORIZED,
            Self::UnknownHost | Self::OtherSite | Self::OldForm | Self::OnlyLooks => {
                StatusCode::FORBIDDEN
            }
            Self::NoPage => StatusCode::NOT_FOUND,
            Self::NoMethod => StatusCode::METHOD_NOT_ALLOWED,
            Self::TooSlow => StatusCode::REQUEST_TIMEOUT,
            Self::TooLarge => StatusCode::PAYLOAD_TOO_LARGE,
            Self::WrongType => StatusCode::UNSUPPORTED_MEDIA_TYPE,
            Self::TooMany => StatusCode::TOO_MANY_REQUESTS,
            Self::Defect => StatusCode::INTERNAL_SERVER_ERROR,
        }
    }

    /// What happened, and what to do next.
    const fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::Unreadable => (
                "What was sent cannot be read",
                "Nothing was booked. Go back and send the form again.",
            ),
            Self::NeedsTls => (
                "This book is served with https",
                "Nothing was booked. Type https:// before the address.",
            ),
            Self::NotPaired => (
                "This device is not paired",
                "On the machine that holds the book, run draff serve and scan its code, or let a paired device invite this one. Nothing was booked.",
            ),
            Self::UnknownHost => (
                "This address is not one of the book's",
                "Nothing was booked. Use the address that draff serve prints.",
            ),
            Self::OtherSite => (
                "The form was sent by another site",
                "Nothing was booked. Open the form from the book's own pages.",
            ),
            Self::OldForm => (
                "The form is not one of this device",
                "Nothing was booked. The device was paired anew since the form was opened: open it again.",
            ),
            Self::OnlyLooks => (
                "This device may only look",
                "Nothing was booked. A device that may write can invite this one anew.",
            ),
            Self::NoPage => ("There is no such page", "Today shows what is due."),
            Self::NoMethod => (
                "That cannot be done at this address",
                "Nothing was booked. Open the form again.",
            ),
            Self::TooSlow => (
                "Sending took too long",
                "Go back and send the form again: an act that did arrive is not booked twice.",
            ),
            Self::TooLarge => (
                "Too much was sent",
                "Nothing was booked. Send a smaller file, or read it in at the machine.",
            ),
            Self::WrongType => (
                "It was sent in a form that the book does not read",
                "Nothing was booked. Use the form on the page.",
            ),
            Self::TooMany => (
                "Too many wrong codes were tried",
                "Wait ten minutes, or scan the code with the camera.",
            ),
            Self::Defect => (
                "This should not have happened",
                "Look at the newest entries before you send it again. If it was booked, it is not booked twice. What happened stands where draff serve runs.",
            ),
        }
    }

    /// As a page.
    pub fn response(self, files: &Files) -> Response {
        super::answer::text(self.status(), self.page(files))
    }

    fn page(self, files: &Files) -> Markup {
        let (what, next) = self.words();
        let body = html! {
            p.lead { (next) }
            @match self {
                Self::NotPaired => p { a.main href="/pair" { "Type a code" } },
                Self::UnknownHost | Self::NeedsTls => {},
                _ => p { a.main href="/" { "Today" } },
            }
        };
        draw::bare(what, files, &body)
    }
}
