//! A real browser for one test: chromium, driven over WebDriver, at a plain-HTTP name as in a house's own network. At
//! 127.0.0.1 a browser counts a page as secure and hides what is not there on a phone.

use fantoccini::wd::WebDriverCompatibleCommand;
use fantoccini::{Client, ClientBuilder, Locator};
use hyper_util::client::legacy::connect::HttpConnector;
use serde_json::{Map, Value, json};
use std::io::{BufRead, BufReader, Write};
use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// The name at which the browser finds the page.
pub const NAME: &str = "bench.test";

/// A phone, as far as a browser can be one.
#[derive(Clone, Copy)]
pub struct Phone {
    pub width: u32,
    pub dark: bool,
    pub script: bool,
}

pub const PHONE: Phone = Phone {
    width: 390,
    dark: false,
    script: true,
};

/// The process that drives browsers; it ends with the test.
struct Driver {
    process: Child,
    port: u16,
}

impl Drop for Driver {
    fn drop(&mut self) {
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}

fn installed(names: &[&str]) -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    std::env::split_paths(&path)
        .flat_map(|folder| names.iter().map(move |name| folder.join(name)))
        .find(|file| file.is_file())
}

/// Says that a test did not run, past the harness that would keep it; where all is to be tested it fails.
pub fn skip(why: &str) {
    assert!(std::env::var_os("CI").is_none(), "{why}");
    let _ = writeln!(std::io::stderr(), "skipped: {why}");
}

impl Driver {
    fn new() -> Option<(Self, PathBuf)> {
        let (Some(browser), Some(driver)) = (
            installed(&["chromium", "chromium-browser"]),
            installed(&["chromedriver"]),
        ) else {
            skip("no browser is installed (chromium and chromium-driver)");
            return None;
        };
        let mut process = Command::new(driver)
            .arg("--port=0")
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let mut lines = BufReader::new(process.stdout.take().unwrap()).lines();
        let port = lines
            .by_ref()
            .map_while(Result::ok)
            .find_map(|line| {
                let (_, rest) = line.split_once("started successfully on port ")?;
                rest.trim_end_matches('.').parse().ok()
            })
            .expect("the driver says its port");
        std::thread::spawn(move || lines.for_each(drop));
        Some((Self { process, port }, browser))
    }
}

/// A file as the browser prints it.
pub fn printed(page: &std::path::Path) -> Option<Vec<u8>> {
    let Some(browser) = installed(&["chromium", "chromium-browser"]) else {
        skip("no browser is installed (chromium)");
        return None;
    };
    let folder = tempfile::tempdir().unwrap();
    let pdf = folder.path().join("page.pdf");
    let ran = Command::new(browser)
        .args([
            "--headless=new",
            "--no-sandbox",
            "--disable-gpu",
            "--no-pdf-header-footer",
        ])
        .arg(format!(
            "--user-data-dir={}",
            folder.path().join("profile").display()
        ))
        .arg(format!("--print-to-pdf={}", pdf.display()))
        .arg(page)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .unwrap();
    assert!(ran.success());
    Some(std::fs::read(pdf).unwrap())
}

/// A browser with its page.
pub struct Browser {
    pub client: Client,
    pub port: u16,
    has_script: bool,
}

/// Runs a test with a browser that reaches a server at this address.
pub fn with_browser<F>(phone: Phone, address: &str, test: impl FnOnce(Browser) -> F)
where
    F: Future<Output = ()>,
{
    with_browsers(phone, address, |[browser]: [Browser; 1]| test(browser));
}

/// The same with several browsers, each a device of its own: what one is given or keeps, no other has.
pub fn with_browsers<const N: usize, F>(
    phone: Phone,
    address: &str,
    test: impl FnOnce([Browser; N]) -> F,
) where
    F: Future<Output = ()>,
{
    let Some((driver, browser)) = Driver::new() else {
        return;
    };
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .unwrap();
    let driven = format!("http://127.0.0.1:{}", driver.port);
    let profiles: [tempfile::TempDir; N] = std::array::from_fn(|_| tempfile::tempdir().unwrap());
    let clients = profiles.each_ref().map(|profile| {
        let mut builder = ClientBuilder::new(HttpConnector::new());
        builder.capabilities(capabilities(phone, &browser, profile.path()));
        runtime.block_on(builder.connect(&driven)).unwrap()
    });
    let port = address.rsplit(':').next().unwrap().parse().unwrap();
    let browsers = clients.each_ref().map(|client| Browser {
        client: client.clone(),
        port,
        has_script: phone.script,
    });
    // Browsers end with their test, however that ends.
    let ended = catch_unwind(AssertUnwindSafe(|| runtime.block_on(test(browsers))));
    let closed = clients.map(|client| runtime.block_on(client.close()));
    if let Err(panic) = ended {
        resume_unwind(panic);
    }
    for one in closed {
        one.unwrap();
    }
}

/// What is asked of a browser: to be such a phone, with what it keeps in a folder of its own.
fn capabilities(phone: Phone, browser: &Path, profile: &Path) -> Map<String, Value> {
    let mut arguments = vec![
        "--headless=new".to_owned(),
        "--no-sandbox".to_owned(),
        "--disable-gpu".to_owned(),
        "--disable-software-rasterizer".to_owned(),
        "--disable-extensions".to_owned(),
        "--disable-dev-shm-usage".to_owned(),
        "--disable-background-networking".to_owned(),
        "--disable-component-update".to_owned(),
        "--disable-sync".to_owned(),
        "--no-first-run".to_owned(),
        "--lang=en-GB".to_owned(),
        format!("--host-resolver-rules=MAP {NAME} 127.0.0.1"),
        format!("--user-data-dir={}", profile.display()),
    ];
    if phone.dark {
        arguments.push("--force-dark-mode".to_owned());
        arguments.push("--blink-settings=preferredColorScheme=0".to_owned());
    }
    let mut options = json!({
        "binary": browser,
        "args": arguments,
        "mobileEmulation": {
            "deviceMetrics": { "width": phone.width, "height": 844, "pixelRatio": 1, "touch": true, "mobile": true },
        },
    });
    if !phone.script {
        options["prefs"] = json!({ "profile.managed_default_content_settings.javascript": 2 });
    }
    let wanted = [
        ("goog:chromeOptions", options),
        ("goog:loggingPrefs", json!({ "browser": "ALL" })),
        ("pageLoadStrategy", json!("eager")),
    ];
    wanted
        .into_iter()
        .map(|(name, value)| (name.to_owned(), value))
        .collect()
}

/// A command that only this browser knows.
#[derive(Debug)]
struct OwnCommand {
    path: &'static str,
    body: Value,
}

impl WebDriverCompatibleCommand for OwnCommand {
    fn endpoint(
        &self,
        base: &url::Url,
        session: Option<&str>,
    ) -> Result<url::Url, url::ParseError> {
        base.join(&format!(
            "session/{}/{}",
            session.unwrap_or_default(),
            self.path
        ))
    }

    fn method_and_body(&self, _: &url::Url) -> (axum::http::Method, Option<String>) {
        (axum::http::Method::POST, Some(self.body.to_string()))
    }
}

/// A page may take so long on a machine that is busy with other tests.
const PATIENCE: Duration = Duration::from_secs(30);

impl Browser {
    pub fn address(&self, path: &str) -> String {
        format!("http://{NAME}:{}{path}", self.port)
    }

    pub async fn open(&self, path: &str) {
        self.client.goto(&self.address(path)).await.unwrap();
    }

    async fn own(&self, path: &'static str, body: Value) -> Value {
        self.client
            .issue_cmd(OwnCommand { path, body })
            .await
            .unwrap()
    }

    /// What the page shows.
    pub async fn words(&self) -> String {
        match self.client.find(Locator::Css("body")).await {
            Ok(body) => body.text().await.unwrap_or_default(),
            Err(_) => String::new(),
        }
    }

    /// Waits until the page shows some words.
    #[track_caller]
    pub fn sees<'a>(&'a self, words: &'a str) -> impl Future<Output = ()> + 'a {
        let caller = std::panic::Location::caller();
        async move {
            let begun = Instant::now();
            loop {
                let shown = self.words().await;
                if shown.contains(words) {
                    return;
                }
                assert!(
                    begun.elapsed() < PATIENCE,
                    "{caller}: {words} is not shown at {}:\n{shown}\n{:?}",
                    self.client.current_url().await.unwrap(),
                    self.console().await
                );
                tokio::time::sleep(Duration::from_millis(50)).await;
            }
        }
    }

    /// Types into a field by its name.
    pub async fn type_into(&self, name: &str, text: &str) {
        let field = self.find(&format!("[name=\"{name}\"]")).await;
        field.clear().await.unwrap();
        field.send_keys(text).await.unwrap();
    }

    /// Sets a day or a time: pickers of phones take no keys.
    pub async fn choose(&self, name: &str, value: &str) {
        let field = self.find(&format!("[name=\"{name}\"]")).await;
        let set = "arguments[0].value = arguments[1]";
        let field = serde_json::to_value(field).unwrap();
        self.client
            .execute(set, vec![field, json!(value)])
            .await
            .unwrap();
    }

    pub async fn find(&self, selector: &str) -> fantoccini::elements::Element {
        let wait = self.client.wait().at_most(PATIENCE);
        wait.for_element(Locator::Css(selector))
            .await
            .unwrap_or_else(|error| panic!("{selector}: {error}"))
    }

    pub async fn tap(&self, selector: &str) {
        let element = self.find(selector).await;
        self.tap_on(element).await;
    }

    /// With script off this browser never comes back from a touch: the element is clicked from outside then.
    async fn tap_on(&self, element: fantoccini::elements::Element) {
        if self.has_script {
            element.click().await.unwrap();
        } else {
            let element = serde_json::to_value(element).unwrap();
            let click = "arguments[0].click()";
            self.client.execute(click, vec![element]).await.unwrap();
        }
    }

    /// Taps a link by its words.
    pub async fn tap_link(&self, words: &str) {
        let wait = self.client.wait().at_most(PATIENCE);
        let link = wait.for_element(Locator::LinkText(words)).await.unwrap();
        self.tap_on(link).await;
    }

    /// Cuts the Wi-Fi, or mends it.
    pub async fn offline(&self, is_cut: bool) {
        let conditions = json!({ "offline": is_cut, "latency": 0, "download_throughput": -1, "upload_throughput": -1 });
        self.own(
            "chromium/network_conditions",
            json!({ "network_conditions": conditions }),
        )
        .await;
    }

    /// What the browser complained of since it was asked last.
    pub async fn console(&self) -> Vec<String> {
        let log = self.own("se/log", json!({ "type": "browser" })).await;
        let lines = log.as_array().cloned().unwrap_or_default();
        lines
            .iter()
            .filter_map(|line| line["message"].as_str().map(str::to_owned))
            .collect()
    }

    /// Lays the page out as for paper: A4 between margins of 14 mm, in pixels of 1/96 in.
    pub async fn shown_as_printed(&self) {
        let paper =
            json!({ "width": 688, "height": 1017, "deviceScaleFactor": 1, "mobile": false });
        for (command, parameters) in [
            ("Emulation.setEmulatedMedia", json!({ "media": "print" })),
            ("Emulation.setDeviceMetricsOverride", paper),
        ] {
            let body = json!({ "cmd": command, "params": parameters });
            self.own("goog/cdp/execute", body).await;
        }
    }

    /// How many sheets of paper the page takes.
    pub async fn printed_pages(&self) -> usize {
        let pdf = self
            .client
            .print(fantoccini::wd::PrintConfiguration::default())
            .await
            .unwrap();
        let text = String::from_utf8_lossy(&pdf);
        text.match_indices("/Type /Page")
            .filter(|(at, found)| !text[at + found.len()..].starts_with('s'))
            .count()
    }

    /// Pairs by the key of an invitation.
    pub async fn pair(&self, key: &str, whose: &str) {
        self.open(&format!("/pair?key={key}")).await;
        self.type_into("whose", whose).await;
        self.tap("button.main").await;
        self.sees("At the bench").await;
    }
}
