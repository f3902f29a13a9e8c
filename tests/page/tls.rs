//! The page with a certificate: a device pairs and books over TLS, and who does not speak it gets nothing.

use crate::serving::{Serving, book, draff};
use draffbook::render::numbers::Units;
use draffbook::web::{self, PemFile, ServerOptions, Tls};
use std::fs::Permissions;
use std::io::{Read, Write};
use std::net::TcpStream;
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;
use tokio_rustls::rustls::crypto::ring;
use tokio_rustls::rustls::pki_types::ServerName;
use tokio_rustls::rustls::{ClientConfig, ClientConnection, RootCertStore, StreamOwned};

const NOW: [&str; 2] = ["--now", "2026-11-20T10:30:00Z"];

/// A certificate for one name, in two files.
struct Made {
    certificate: PathBuf,
    key: PathBuf,
    der: Vec<u8>,
}

impl Made {
    fn new(folder: &Path, file: &str, name: &str) -> Self {
        let made = rcgen::generate_simple_self_signed(vec![name.to_owned()]).unwrap();
        let certificate = folder.join(format!("{file}.pem"));
        let key = folder.join(format!("{file}.key"));
        std::fs::write(&certificate, made.cert.pem()).unwrap();
        std::fs::write(&key, made.signing_key.serialize_pem()).unwrap();
        std::fs::set_permissions(&key, Permissions::from_mode(0o600)).unwrap();
        Self {
            certificate,
            key,
            der: made.cert.der().to_vec(),
        }
    }

    fn options(&self) -> [&str; 3] {
        [
            "--tls",
            self.certificate.to_str().unwrap(),
            self.key.to_str().unwrap(),
        ]
    }

    fn serving(&self, book: &Path) -> Serving {
        Serving::new(book, &[&self.options()[..], &NOW].concat())
    }

    /// Sends a request as a browser that knows this certificate; gives the whole answer.
    fn send(&self, address: &str, request: &str) -> String {
        let mut roots = RootCertStore::empty();
        roots.add(self.der.clone().into()).unwrap();
        let config = ClientConfig::builder_with_provider(Arc::new(ring::default_provider()))
            .with_safe_default_protocol_versions()
            .unwrap()
            .with_root_certificates(roots)
            .with_no_client_auth();
        let name = ServerName::try_from("127.0.0.1").unwrap();
        let greeting = ClientConnection::new(Arc::new(config), name).unwrap();
        let socket = TcpStream::connect(address).unwrap();
        socket
            .set_read_timeout(Some(Duration::from_secs(40)))
            .unwrap();
        let mut stream = StreamOwned::new(greeting, socket);
        stream
            .write_all(request.replace("HOST", address).as_bytes())
            .unwrap();
        let mut answer = String::new();
        stream.read_to_string(&mut answer).unwrap();
        answer
    }

    fn get(&self, address: &str, path: &str, cookie: &str) -> String {
        let request = format!(
            "GET {path} HTTP/1.1\r\nHost: HOST\r\nCookie: {cookie}\r\nConnection: close\r\n\r\n"
        );
        self.send(address, &request)
    }

    fn post(&self, address: &str, origin: &str, path: &str, cookie: &str, body: &str) -> String {
        let request = format!(
            "POST {path} HTTP/1.1\r\nHost: HOST\r\nOrigin: {origin}\r\nCookie: {cookie}\r\nConnection: close\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n\r\n{body}",
            body.len()
        );
        self.send(address, &request)
    }
}

fn between<'a>(text: &'a str, begin: &str, end: &str) -> &'a str {
    let (_, rest) = text
        .split_once(begin)
        .unwrap_or_else(|| panic!("no {begin}: {text}"));
    rest.split(end).next().unwrap()
}

#[test]
fn a_device_pairs_and_books_over_tls() {
    let folder = tempfile::tempdir().unwrap();
    let (book, lot) = book(folder.path());
    let made = Made::new(folder.path(), "bench", "127.0.0.1");
    let serving = made.serving(&book);
    let at = serving.address.as_str();
    let body = format!("key={}&whose=Ada", serving.key);
    let paired = made.post(at, "https://HOST", "/pair", "", &body);
    let cookie = between(&paired, "set-cookie: ", "\r\n");
    assert!(cookie.starts_with("__Host-draff-"), "{cookie}");
    for part in ["; Secure", "; HttpOnly", "; Path=/", "; SameSite=Lax"] {
        assert!(cookie.contains(part), "{part}: {cookie}");
    }
    let cookie = cookie.split(';').next().unwrap();

    let path = format!("/lot/{lot}/temperature");
    let form = made.get(at, &path, cookie);
    // A house may give TLS up again, and other things are served under the same name.
    assert!(
        !form.to_lowercase().contains("strict-transport-security"),
        "{form}"
    );
    let token = between(&form, "name=\"form_token\" value=\"", "\"");
    let body = format!("form_token={token}&act_id=overtls00001&temp=4&temp_unit=C");
    let foreign = made.post(at, "http://HOST", &path, cookie, &body);
    assert!(foreign.starts_with("HTTP/1.1 403"), "{foreign}");
    let booked = made.post(at, "https://HOST", &path, cookie, &body);
    assert!(booked.starts_with("HTTP/1.1 303"), "{booked}");
    let entry = between(&booked, "location: ", "\r\n");
    let shown = made.get(at, entry.split('?').next().unwrap(), cookie);
    assert!(
        shown.starts_with("HTTP/1.1 200") && shown.contains(&lot),
        "{shown}"
    );

    let today = made.get(at, "/", cookie);
    assert!(
        today.contains(&format!("https://{at}/calendar/")),
        "{today}"
    );
    let devices = made.get(at, "/devices", cookie);
    let body = format!(
        "form_token={}&act_id=overtls00002",
        between(&devices, "name=\"form_token\" value=\"", "\"")
    );
    let invited = made.post(at, "https://HOST", "/devices", cookie, &body);
    assert!(invited.contains(&format!("https://{at}/pair")), "{invited}");
    let (_, code, talk) = serving.end(15);
    assert_eq!(code, Some(0), "{talk}");
    assert!(!talk.contains("warning"), "{talk}");
}

#[test]
fn who_speaks_plain_http_is_told_so_and_let_go() {
    let folder = tempfile::tempdir().unwrap();
    let (book, lot) = book(folder.path());
    let made = Made::new(folder.path(), "bench", "127.0.0.1");
    let serving = made.serving(&book);
    for path in ["/", "/pair", "/due.ics", &format!("/lot/{lot}")] {
        let answer = serving.get(path, "").unwrap();
        assert!(answer.starts_with("HTTP/1.1 400"), "{answer}");
        let lower = answer.to_lowercase();
        for said in [
            "connection: close",
            "content-security-policy: default-src 'none'",
            "cache-control: no-store",
            "type https:// before the address",
        ] {
            assert!(lower.contains(said), "{said}: {answer}");
        }
        assert!(!answer.contains(&lot), "{answer}");
    }
    let answer = serving
        .at()
        .post("/pair", "", &format!("key={}&whose=Eve", serving.key))
        .unwrap();
    assert!(answer.starts_with("HTTP/1.1 400"), "{answer}");
    assert!(!answer.contains("set-cookie"), "{answer}");
    // The invitation was not spent.
    let body = format!("key={}&whose=Ada", serving.key);
    let paired = made.post(&serving.address, "https://HOST", "/pair", "", &body);
    assert!(paired.starts_with("HTTP/1.1 303"), "{paired}");
}

#[test]
fn it_ends_within_five_seconds_while_greetings_are_not_ended() {
    let folder = tempfile::tempdir().unwrap();
    let (book, _) = book(folder.path());
    let made = Made::new(folder.path(), "bench", "127.0.0.1");
    let serving = made.serving(&book);
    let silent = TcpStream::connect(&serving.address).unwrap();
    let mut half = TcpStream::connect(&serving.address).unwrap();
    // The head of a record of 256 bytes, and none of them.
    half.write_all(&[22, 3, 1, 1, 0]).unwrap();
    // The server has taken both connections when it answers a third.
    made.get(&serving.address, "/pair", "");
    let (took, code, talk) = serving.end(15);
    assert!(took < Duration::from_secs(3), "{took:?}");
    assert_eq!(code, Some(0), "{talk}");
    for mut left in [silent, half] {
        let mut nothing = Vec::new();
        // Closed, or reset where something was left unread.
        let _ = left.read_to_end(&mut nothing);
        assert!(nothing.is_empty(), "{nothing:?}");
    }
}

fn pem(path: &Path) -> PemFile {
    PemFile {
        name: path.display().to_string(),
        text: std::fs::read(path).unwrap(),
    }
}

#[test]
fn a_greeting_that_is_not_ended_is_ended_by_the_server() {
    let folder = tempfile::tempdir().unwrap();
    let (book, _) = book(folder.path());
    let made = Made::new(folder.path(), "bench", "127.0.0.1");
    let shared = web::Shared::new(ServerOptions {
        book,
        units: Units::Metric,
        clock: Arc::new(|| "2026-11-20T10:00:00Z".parse().unwrap()),
        hosts: Vec::new(),
        backups: None,
        log: Arc::new(|_| {}),
        tls: Some(Tls::of(&pem(&made.certificate), &pem(&made.key)).unwrap()),
        form_takes: web::FORM_TAKES,
        greeting_takes: Duration::from_millis(1),
    });
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(1)
        .enable_all()
        .build()
        .unwrap();
    let listener = runtime
        .block_on(tokio::net::TcpListener::bind("127.0.0.1:0"))
        .unwrap();
    let address = listener.local_addr().unwrap();
    runtime.spawn(web::serve(
        listener,
        Arc::new(shared),
        std::future::pending(),
    ));
    for begun in [&[][..], &[22, 3, 1, 1, 0]] {
        let mut client = TcpStream::connect(address).unwrap();
        client
            .set_read_timeout(Some(Duration::from_secs(40)))
            .unwrap();
        client.write_all(begun).unwrap();
        // Ended, with a reset where the server left something unread: not the end of our patience.
        match client.read(&mut [0; 1]) {
            Ok(read) => assert_eq!(read, 0),
            Err(error) => assert_eq!(error.kind(), std::io::ErrorKind::ConnectionReset),
        }
    }
}

#[test]
fn files_that_cannot_serve_are_refused_before_anything_is_served() {
    let folder = tempfile::tempdir().unwrap();
    let (book, _) = book(folder.path());
    let made = Made::new(folder.path(), "bench", "127.0.0.1");
    let other = Made::new(folder.path(), "other", "127.0.0.1");
    let rubbish = folder.path().join("rubbish");
    std::fs::write(&rubbish, "no certificate\n").unwrap();
    let sealed = folder.path().join("sealed");
    std::fs::write(
        &sealed,
        "-----BEGIN CERTIFICATE-----\nAAAA\n-----END CERTIFICATE-----\n",
    )
    .unwrap();
    let away = folder.path().join("away");
    let endless = PathBuf::from("/dev/zero");
    let cases = [
        (&endless, &made.key, "holds more than 1 MiB"),
        (&made.certificate, &endless, "holds more than 1 MiB"),
        (&away, &made.key, "cannot be read"),
        (&made.certificate, &away, "cannot be read"),
        (&rubbish, &made.key, "holds no certificate"),
        (&made.certificate, &rubbish, "holds no private key"),
        (
            &made.key,
            &made.certificate,
            "first the certificate, then its key",
        ),
        (
            &made.certificate,
            &other.key,
            "does not belong to the certificate",
        ),
        (
            &sealed,
            &made.key,
            "nothing can be served with the certificate",
        ),
    ];
    for (certificate, key, said) in cases {
        let out = draff(&book)
            .args(["serve", "--port", "0", "--tls"])
            .args([certificate, key])
            .output()
            .unwrap();
        let talk = String::from_utf8(out.stderr).unwrap().replace("\n  ", " ");
        assert_eq!(out.status.code(), Some(1), "{talk}");
        assert!(out.stdout.is_empty());
        assert!(talk.contains(said), "{said}: {talk}");
    }
}

#[test]
fn a_key_that_all_may_read_and_a_foreign_name_are_warned_of() {
    let folder = tempfile::tempdir().unwrap();
    let (book, _) = book(folder.path());
    let made = Made::new(folder.path(), "bench", "bench.test");
    std::fs::set_permissions(&made.key, Permissions::from_mode(0o644)).unwrap();
    let (_, code, talk) = made.serving(&book).end(15);
    let talk = talk.replace("\n  ", " ");
    assert_eq!(code, Some(0), "{talk}");
    assert!(
        talk.contains("everybody on this machine may read the key"),
        "{talk}"
    );
    assert!(talk.contains("not made out to 127.0.0.1"), "{talk}");
}

#[test]
fn a_unit_of_systemd_names_the_files() {
    let folder = tempfile::tempdir().unwrap();
    let (book, _) = book(folder.path());
    let made = Made::new(folder.path(), "bench", "127.0.0.1");
    let out = draff(&book)
        .args(["serve", "--unit"])
        .args(made.options())
        .output()
        .unwrap();
    let text = String::from_utf8(out.stdout).unwrap();
    let wanted = format!(
        "--tls \"{}\" \"{}\"",
        made.certificate.display(),
        made.key.display()
    );
    assert!(text.contains(&wanted), "{text}");
}
