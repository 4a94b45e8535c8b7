//! A keeper's hand on the pages: fills the fields that a page shows, presses its buttons, jots.
#![allow(dead_code, unreachable_pub)] // each test file uses its own part
#![allow(clippy::unwrap_used, clippy::panic)] // helpers of tests, outside the test functions

use super::window::Browser;
use serde_json::{Value, json};
use std::time::{Duration, Instant};
use thirtyfour::prelude::*;

/// How long a page may take.
const PATIENCE: Duration = Duration::from_secs(30);

/// Chooses, ticks or dates the field `name`, or says that it wants to be typed. Folded parts are
/// opened first, and what cannot be seen cannot be chosen. A choice is named by its label's first
/// words or its value.
const SET: &str = r#"
const [name, wanted] = arguments;
const all = [...document.querySelectorAll(`main [name="${name}"]`)].filter(e => e.type !== 'hidden');
if (all.length === 0) return `there is no field ${name}`;
for (let e = all[0]; e; e = e.parentElement) if (e.tagName === 'DETAILS') e.open = true;
const words = e => e.textContent.trim().replace(/\s+/g, ' ');
const seen = e => e.checkVisibility() || [...e.labels].some(l => l.checkVisibility());
const is = (e, label) => e.value === wanted || words(label) === wanted;
const first = all[0];
const changed = e => { for (const type of ['input', 'change']) e.dispatchEvent(new Event(type, {bubbles: true})); };
if (!seen(first)) return `${name} cannot be seen`;
if (first.tagName === 'SELECT') {
  const option = [...first.options].find(o => is(o, o));
  if (!option) return `${name} offers no ${wanted}`;
  first.value = option.value; changed(first);
} else if (first.type === 'radio' || first.type === 'checkbox') {
  const box = all.find(e => is(e, e.labels[0])) ?? all.find(e => words(e.labels[0]).startsWith(wanted));
  if (!box) return `${name} offers no ${wanted}`;
  if (!box.checked) box.labels[0].click();
  if (!box.checked) return `${name} did not take ${wanted}`;
} else if (first.type === 'date' || first.type === 'datetime-local') {
  first.value = wanted; changed(first);
  if (first.value !== wanted) return `${name} did not take ${wanted}`;
} else if (first.type === 'file') return 'file';
else { first.focus(); first.select(); return 'type'; }
return '';
"#;

impl Browser {
    /// Waits until a script's `return` is true.
    pub async fn until(&self, what: &str, script: &str, arguments: Vec<Value>) {
        let began = Instant::now();
        while self.run(script, arguments.clone()).await != json!(true) {
            let patient = began.elapsed() < PATIENCE;
            assert!(patient, "{what}, but the page says:\n{}", self.text().await);
            tokio::time::sleep(Duration::from_millis(20)).await;
        }
    }

    /// Fills fields of the page that is open: `(name, value)`.
    pub async fn fill(&self, fields: &[(&str, &str)]) {
        for (name, value) in fields {
            let found = self.run(SET, vec![json!(name), json!(value)]).await;
            match found.as_str().unwrap() {
                "" => {}
                "type" => {
                    let field = self.driver.active_element().await.unwrap();
                    field.send_keys(*value).await.unwrap();
                }
                "file" => {
                    let field = By::Css(format!("main [name='{name}']"));
                    let field = self.driver.find(field).await.unwrap();
                    field.send_keys(*value).await.unwrap();
                }
                wrong => panic!("{wrong} on the page:\n{}", self.text().await),
            }
        }
    }

    /// Presses the button or link that says `words`.
    pub async fn press(&self, words: &str) {
        let at = format!("//main//*[(self::button or self::a) and normalize-space()=\"{words}\"]");
        let Ok(button) = self.driver.find(By::XPath(at)).await else {
            panic!("nothing says {words}:\n{}", self.text().await);
        };
        self.click(&button).await;
    }

    /// Opens the address.
    pub async fn open_at(&self, address: &str) {
        self.driver.goto(address).await.unwrap();
    }

    /// Follows the first link whose address holds `part`.
    pub async fn follow_to(&self, part: &str) {
        let link = By::Css(format!("main a[href*='{part}']"));
        let link = self.driver.find(link).await.unwrap();
        self.click(&link).await;
    }

    /// Follows the link whose words hold `words`; folded parts around it are opened first.
    pub async fn follow(&self, words: &str) {
        let at = format!("//main//a[contains(normalize-space(), \"{words}\")]");
        let Ok(link) = self.driver.find(By::XPath(at)).await else {
            panic!("no link says {words}:\n{}", self.text().await);
        };
        let unfold = "for (let e = arguments[0]; e; e = e.parentElement) \
                      if (e.tagName === 'DETAILS') e.open = true";
        self.run(unfold, vec![link.to_json().unwrap()]).await;
        self.click(&link).await;
    }

    /// The id that the entry of the open form will have.
    pub async fn entry_id(&self) -> String {
        let script =
            "const f = document.querySelector('main form:has([name=at]) [name=entry_id]')?.value;
            const jot = document.querySelector(\"main form[action*='/log/jot']\")?.action;
            return jot ? new URL(jot).searchParams.get('entry_id') : f";
        let id = self.run(script, vec![]).await;
        id.as_str().unwrap().to_owned()
    }

    /// Waits until the page says that the entry `id` was logged.
    pub async fn logged(&self, what: &str, id: &str) {
        let done = "return location.search.includes('done=' + arguments[0])";
        self.until(&format!("{what:?} is logged"), done, vec![json!(id)])
            .await;
    }

    /// Jots a line on the log page of the trial; gives the id of the entry.
    pub async fn jot(&self, trial: &str, line: &str) -> String {
        let here = self.driver.current_url().await.unwrap();
        if here.as_str().split('?').next() != Some(format!("{trial}/log").as_str()) {
            self.open_at(&format!("{trial}/log")).await;
        }
        let id = self.entry_id().await;
        let field = self.driver.find(By::Name("line")).await.unwrap();
        field.send_keys(line).await.unwrap();
        field.send_keys(Key::Enter + "").await.unwrap();
        self.logged(line, &id).await;
        id
    }

    /// Logs by the form for one kind of entry, by the button that says `button`.
    pub async fn log_form(&self, at: &str, fields: &[(&str, &str)], button: &str) {
        self.open_at(at).await;
        let id = self.entry_id().await;
        self.fill(fields).await;
        self.press(button).await;
        self.logged(at, &id).await;
    }

    /// Every tank in turn by one form: `fields` once, then what is seen in each tank from the left.
    pub async fn round(&self, fields: &[(&str, &str)], seen: &[Vec<(&str, &str)>]) {
        self.fill(fields).await;
        for tank in seen {
            let id = self.entry_id().await;
            self.fill(tank).await;
            self.press("Log it and do the next tank").await;
            self.logged("a tank's turn", &id).await;
        }
    }

    /// The words of the main part as one line, all white space single.
    pub async fn line(&self) -> String {
        let script = "return document.querySelector('main').innerText";
        let text = self.run(script, vec![]).await;
        let text = text.as_str().unwrap().replace('\u{a0}', " ");
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    }
}
