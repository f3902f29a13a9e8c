//! `serve`: the page, for a phone at the bench.

use super::{Outcome, typed};
use crate::context::{Errand, Options, log_line, this_program};
use crate::error::usage;
use crate::ledger::Book;
use crate::quantity::Problem;
use crate::web::{self, PemFile, ServerOptions, Shared, Tls};
use clap::ArgAction;
use fast_qr::QRBuilder;
use signal_hook::consts::{SIGINT, SIGTERM};
use signal_hook::flag::register_conditional_shutdown;
use std::net::{IpAddr, Ipv4Addr, SocketAddr, UdpSocket};
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;
use tokio::net::TcpListener;
use tokio::signal::unix::{Signal, SignalKind, signal};

/// How a process ends that a shell interrupts: 128 and the number of the signal.
const ENDED_AT_ONCE: i32 = 130;

/// Serve the book as a page for phones at bench, fridge and scale
///
/// Without --lan only this machine reaches it. A device is paired by a code that is good for one device and ten
/// minutes; a paired device can invite others. Ctrl-C ends it: what is being booked is booked or not done at all.
#[derive(clap::Args)]
#[command(
    after_help = "Example: draff serve --lan\n\nOn plain HTTP anybody in the same Wi-Fi may read along: use it in a network of your own, or with --tls."
)]
pub struct Arguments {
    /// Reachable from the house's own network, not only from this machine
    #[arg(long)]
    lan: bool,

    /// The port; 0 takes any that is free
    #[arg(long, value_name = "NUMBER", default_value_t = 8080)]
    port: u16,

    /// The address of this machine in that network [default: found]
    #[arg(long, value_name = "ADDRESS")]
    address: Option<IpAddr>,

    /// Keep a proven copy of the book a day in this folder, the newest fourteen
    #[arg(long, value_name = "FOLDER")]
    backups: Option<PathBuf>,

    /// Print a systemd unit that serves the book like this, and end
    #[arg(long)]
    unit: bool,

    /// A name by which browsers reach this machine too
    #[arg(long, value_name = "NAME")]
    name: Vec<String>,

    /// Serve with https: the certificate and its key, two files in PEM form
    #[arg(long, num_args = 2, value_names = ["CERT", "KEY"], action = ArgAction::Set)]
    tls: Option<Vec<PathBuf>>,
}

pub fn run(arguments: Arguments, errand: &mut Errand<'_>) -> anyhow::Result<Outcome> {
    let path = errand.book_path()?;
    // What is wrong with the book is said here, and not to the first visitor.
    let book = Book::open(&path, errand.surroundings.clock)?;
    let zone = book.view().about().zone.clone();
    drop(book);
    let found = if arguments.lan { found_address() } else { None };
    let address = own_address(arguments.address, arguments.lan, found);
    let tls = match arguments.tls.as_deref() {
        Some([certificate, key]) => {
            let address = address.as_ref().ok().copied();
            Some(certified(errand, &arguments, address, certificate, key)?)
        }
        _ => None,
    };
    if arguments.unit {
        if errand.options.now.is_some() {
            let problem = Problem::new("--now does not go into a unit");
            let why = "each start would begin at that moment again: leave --now out";
            return Err(usage(problem.hint(why)));
        }
        let text = unit(&this_program()?, &errand.options, &arguments, &path);
        errand.print(&text)?;
        return Ok(Outcome::Done);
    }
    let address = address?;
    let clock = errand.running_clock(&zone)?;
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .max_blocking_threads(web::AT_WORK)
        .enable_all()
        .build()?;
    let listener = runtime
        .block_on(TcpListener::bind(SocketAddr::new(address, arguments.port)))
        .map_err(|error| {
            Problem::new(format!(
                "nothing can be served at {address}, port {}: {error}",
                arguments.port
            ))
            .hint("--port 0 takes any that is free")
        })?;
    let port = listener.local_addr()?.port();
    let shared = Arc::new(Shared::new(ServerOptions {
        book: path,
        units: errand.units(),
        clock,
        hosts: hosts(address, port, &arguments.name, tls.is_some()),
        backups: arguments.backups,
        log: Arc::new(log_line),
        tls,
        form_takes: web::FORM_TAKES,
        greeting_takes: web::GREETING_TAKES,
    }));
    let is_told = Arc::new(AtomicBool::new(false));
    for signal in [SIGINT, SIGTERM] {
        register_conditional_shutdown(signal, ENDED_AT_ONCE, is_told.clone())?;
    }
    // Who reads that it serves may end it from then on.
    let within = runtime.enter();
    let stop = told_to_stop(
        signal(SignalKind::interrupt())?,
        signal(SignalKind::terminate())?,
        is_told,
    );
    drop(within);
    tell(errand, &shared, SocketAddr::new(address, port))?;
    runtime.block_on(web::serve(listener, shared, stop));
    runtime.shutdown_timeout(Duration::from_millis(500));
    errand.say("ended");
    Ok(Outcome::Done)
}

/// The certificate, with a warning where a browser or a stranger would make use of what is wrong with it.
fn certified(
    errand: &mut Errand<'_>,
    arguments: &Arguments,
    address: Option<IpAddr>,
    certificate: &Path,
    key: &Path,
) -> anyhow::Result<Tls> {
    let tls = Tls::of(&pem_file(certificate)?, &pem_file(key)?)?;
    let readers = std::fs::metadata(key)?.permissions().mode();
    if readers & 0o004 != 0 {
        let key = key.display();
        errand.warn(&format!(
            "everybody on this machine may read the key {key}: chmod 600 {key}"
        ));
    }
    let address = address.filter(|address| !address.is_unspecified());
    let address = address.map(|address| address.to_string());
    for name in address.iter().chain(&arguments.name) {
        if !tls.is_for(name) {
            errand.warn(&format!(
                "the certificate is not made out to {name}: browsers will warn of it there"
            ));
        }
    }
    Ok(tls)
}

fn pem_file(path: &Path) -> Result<PemFile, Problem> {
    Ok(PemFile {
        name: path.display().to_string(),
        text: typed::small_file(path).map_err(|problem| problem.hint(web::ORDER))?,
    })
}

/// A unit for a small computer that stays on: it serves as this command line does.
fn unit(program: &Path, options: &Options, arguments: &Arguments, book: &Path) -> String {
    // In a unit a blank parts words and % begins a specifier: systemd.unit(5), systemd.syntax(7).
    let word = |text: &str| {
        let text = text
            .replace('\\', "\\\\")
            .replace('"', "\\\"")
            .replace('%', "%%");
        format!("\"{text}\"")
    };
    // In arguments, not in the name of the program, $ begins a variable: systemd.service(5).
    let quoted = |text: &str| word(&text.replace('$', "$$"));
    let path = |path: &Path| {
        quoted(
            &std::path::absolute(path)
                .unwrap_or_else(|_| path.to_owned())
                .to_string_lossy(),
        )
    };
    // A program by its bare name is looked for in few folders: systemd.service(5).
    let mut line = format!("{} --book {}", word(&program.to_string_lossy()), path(book));
    if let Some(name) = &options.by {
        line.push_str(&format!(" --by {}", quoted(name)));
    }
    for (is_given, option) in [
        (options.json, " --json"),
        (options.us, " --us"),
        (options.quiet, " --quiet"),
    ] {
        if is_given {
            line.push_str(option);
        }
    }
    line.push_str(&format!(" serve --port {}", arguments.port));
    if arguments.lan {
        line.push_str(" --lan");
    }
    if let Some(address) = arguments.address {
        line.push_str(&format!(" --address {address}"));
    }
    for name in &arguments.name {
        line.push_str(&format!(" --name {}", quoted(name)));
    }
    if let Some(files) = &arguments.tls {
        line.push_str(" --tls");
        for file in files {
            line.push_str(&format!(" {}", path(file)));
        }
    }
    if let Some(folder) = &arguments.backups {
        line.push_str(&format!(" --backups {}", path(folder)));
    }
    format!(
        "\
         # Put it into ~/.config/systemd/user/draffbook.service, then:\n\
         #   systemctl --user enable --now draffbook\n\
         #   loginctl enable-linger\n\
         # The code that pairs a phone stands in: journalctl --user -u draffbook\n\
         [Unit]\n\
         Description=The book of a bakery as a page (draff serve)\n\
         After=network-online.target time-sync.target\n\
         Wants=network-online.target\n\n\
         [Service]\n\
         ExecStart={line}\n\
         Restart=on-failure\n\
         RestartSec=5\n\
         NoNewPrivileges=yes\n\n\
         [Install]\n\
         WantedBy=default.target\n"
    )
}

/// The address to listen at: this machine alone, or the one by which others reach it.
fn own_address(
    given: Option<IpAddr>,
    is_for_lan: bool,
    found: Option<IpAddr>,
) -> Result<IpAddr, Problem> {
    match (given, is_for_lan) {
        (Some(address), _) => Ok(address),
        (None, false) => Ok(IpAddr::V4(Ipv4Addr::LOCALHOST)),
        // A browser cannot come to an address that is none: whoever starts it again finds the network up.
        (None, true) => found.ok_or_else(|| {
            Problem::new("this machine is in no network: no phone can reach it")
                .hint("connect it to the Wi-Fi or by cable, then start it again")
                .hint("--address ADDRESS names the address where it is not found")
                .hint("without --lan the book is served to this machine alone")
        }),
    }
}

/// The address from which this machine would send to others. Nothing is sent for it: the address asked about is one
/// for documents (RFC 5737).
fn found_address() -> Option<IpAddr> {
    let socket = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).ok()?;
    socket.connect((Ipv4Addr::new(192, 0, 2, 1), 9)).ok()?;
    let address = socket.local_addr().ok()?.ip();
    let is_for_others = !address.is_unspecified() && !address.is_loopback();
    is_for_others.then_some(address)
}

/// What a browser may name as the host.
fn hosts(address: IpAddr, port: u16, names: &[String], is_tls: bool) -> Vec<String> {
    let mut hosts = vec![SocketAddr::new(address, port).to_string()];
    if address.is_loopback() {
        hosts.push(format!("localhost:{port}"));
    }
    hosts.extend(names.iter().map(|name| format!("{name}:{port}")));
    // At its usual port a browser names none.
    if port == if is_tls { 443 } else { 80 } {
        let usual = format!(":{port}");
        let bare: Vec<String> = hosts
            .iter()
            .filter_map(|host| host.strip_suffix(&usual).map(str::to_owned))
            .collect();
        hosts.extend(bare);
    }
    hosts
}

/// Says where the page is, and how the first device comes in.
fn tell(errand: &mut Errand<'_>, shared: &Shared, address: SocketAddr) -> anyhow::Result<()> {
    let invitation = shared.invite()?;
    let origin = format!("{}://{address}", shared.scheme());
    let link = format!("{origin}/pair?key={}", invitation.key);
    let mut text = format!("The book is served at {origin}/\n\n");
    let (invited, or_else) = if !address.ip().is_loopback()
        && let Ok(qr) = QRBuilder::new(link.as_str()).build()
    {
        text.push_str(&qr.to_str());
        text.push('\n');
        (
            "Scan the square within ten minutes. It opens",
            "Cannot scan? Open",
        )
    } else {
        ("Within ten minutes open", "Or open")
    };
    text.push_str(&format!(
        "{invited} {link}\n{or_else} {origin}/pair and type {}\n\nCtrl-C ends it.\n",
        invitation.code
    ));
    errand.print(&text)?;
    errand.answer().flush()?;
    Ok(())
}

/// Comes when the process is told to end. A second signal ends it at once.
async fn told_to_stop(mut interrupted: Signal, mut ended: Signal, is_told: Arc<AtomicBool>) {
    tokio::select! {
        _ = interrupted.recv() => {}
        _ = ended.recv() => {}
    }
    is_told.store(true, Ordering::SeqCst);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn without_a_network_it_says_so_and_what_to_do() {
        let problem = own_address(None, true, None).unwrap_err();
        assert!(problem.to_string().contains("no network"), "{problem}");
        let hints = problem.hints().join("\n");
        for next in ["start it again", "--address ADDRESS", "without --lan"] {
            assert!(hints.contains(next), "{next}: {hints}");
        }
    }

    #[test]
    fn the_address_is_the_given_one_the_found_one_or_that_of_this_machine() {
        let address = |text: &str| text.parse::<IpAddr>().unwrap();
        let found = Some(address("192.168.1.20"));
        for (given, is_for_lan, found, wanted) in [
            (None, true, found, "192.168.1.20"),
            (Some(address("10.0.0.7")), true, found, "10.0.0.7"),
            (Some(address("10.0.0.7")), true, None, "10.0.0.7"),
            (None, false, None, "127.0.0.1"),
        ] {
            let own = own_address(given, is_for_lan, found).unwrap();
            assert_eq!(own, address(wanted));
        }
    }
}
