//! What the pages and the update say of the season, against what was worked out by hand.
#![allow(unreachable_pub)] // a part of one test file

use super::{HALVE, RAISE, Season, has};

/// What the set-up and the pages of the trial say, against what was worked out by hand.
pub async fn the_pages(s: &Season) {
    let setup = s.open("setup").await;
    has(&setup, "with the seed 1207");
    has(
        &setup,
        "lean (the others are compared with it) mica and flint rich slate and chalk",
    );
    // Today's lot for a trial that began twelve weeks ago is not passed over.
    has(&setup, "so it did not decide the arms at the start");

    // KNO3 holds 62.0049 / 101.1032 = 0.61328 of nitrate by mass (IUPAC atomic weights 2021,
    // abridged): ten doses of 0.5 g are 3066 mg, of 1 g 6133 mg. The dose undone counts nowhere.
    let treatment = s.open("treatment").await;
    has(
        &treatment,
        "Nitrate dosed into the water 3066 mg 3066 mg 6133 mg 6133 mg",
    );
    // Twelve weeks less the one forgotten: two changes in the baseline, nine since, of 40 % each.
    has(
        &treatment,
        "Water changes 9 Water changed, shares added up 360 %",
    );
    has(
        &treatment,
        "Water changes 2 Water changed, shares added up 80 %",
    );
    // Five feedings of 0.1 g and, in mica, the one that was corrected from 1 g to 0.1 g.
    has(&treatment, "Food given 0.6 g 0.5 g 0.5 g 0.5 g");

    let plans = s.open("plans").await;
    let on = s.day(28);
    has(&plans, &format!("{RAISE} Done on {on}"));
    has(
        &plans,
        "Seen Film went from 2 to 1; the carpet kept its pace.",
    );
    has(
        &plans,
        &format!("{HALVE} Given up: A shrimp was lost, so the food stays as it is."),
    );
    // Ten doses for each of four tanks; twelve changes, one forgotten; pictures in weeks 0, 4, 8.
    has(&plans, "None of 40 due dates missed, all tanks together.");
    has(&plans, "4 of 48 due dates missed, all tanks together.");
    has(&plans, "None of 12 due dates missed, all tanks together.");

    // 120 + 80; each month 12 / 6 of reagent and (40 W x 8 h + 5 W x 24 h) x 30.4375 d = 13.3925 kWh
    // at 0.30, together 6.0178; wear 120 / 60 + 80 / 40; work 11 x 20 + 12 + 8 minutes.
    let costs = s.open("costs").await;
    has(&costs, "Set-up, paid once 200.00 EUR");
    has(&costs, "Cash each month 6.02 EUR");
    has(&costs, "4.00 EUR");
    has(&costs, "13.4 kWh a month");
    has(&costs, "at least 240 minutes in all");

    let timeline = s.open("timeline").await;
    has(&timeline, &format!("{RAISE} (every tank) Done on {on}"));
    has(&timeline, "Slate: 1 shrimp died");
    has(&timeline, "fed 0.1 g flakes corrected");
    has(
        &timeline,
        "Nitrate dosed into the water and Potassium dosed into the water: 10 times",
    );
    let readings = s.open("readings").await;
    has(&readings, "Water changes, every tank (11)");
    has(
        &readings,
        "Doses, mica and flint (10) Doses, slate and chalk (10)",
    );
    let compare = s.open("compare").await;
    has(&compare, RATIO);
    // Before: sqrt(20 x 16) = 17.89 against 20.
    has(
        &compare,
        "cover at the start in rich 0.89 times that in lean",
    );
    has(
        &compare,
        "What unplanned differences inside an arm did: Food given.",
    );
}

/// Growth of the carpet was 2 and 2.5 in the lean tanks, 3 and 4 in the rich: the ratio of the
/// geometric means is sqrt(12 / 5) = 1.5492. With ln 2, ln 2.5; ln 3, ln 4 the pooled variance is
/// 0.03314 on 2 degrees of freedom, the standard error 0.18204, t 4.3027 (any table of t), so the
/// interval is exp(0.43773 -+ 0.78327) = 0.708 to 3.39.
const RATIO: &str = "in rich was 1.55 times that in lean. 95 % interval 0.708 to 3.39.";
/// Of the 24 orders of four letters 7 have two or more at home: 7 / 24 = 0.29. Of the 6 ways to
/// give two arms to four letters, 5 have two or more right.
pub const GUESSED: &str = "In one masked walk-round the keeper named the tank rightly 2 of 4 times; \
    by chance 1 of 4 are expected, and as many or more come up with probability 0.29. The arm was \
    named rightly 2 of 4 times; by chance 2 of 4, as many or more with probability 0.83.";

/// The update is made as a job, and the page that readers get says the same.
pub async fn the_update(s: &Season) {
    let b = &s.browser;
    s.open("update").await;
    b.fill(&[("next_step", "Another twelve weeks with the arms exchanged.")])
        .await;
    b.press("Save these words").await;
    let kept = "return location.search !== ''";
    b.until("the words are saved", kept, vec![]).await;
    b.press("Make the update").await;
    let made = "return !!document.querySelector(\"main a[href*='/update/made/']\")";
    b.until("the update is made", made, vec![]).await;
    b.follow_to("/update/made/").await;
    b.follow("The page, index.html").await;
    let opened = "return location.pathname.endsWith('/index.html')";
    b.until("the page made opens", opened, vec![]).await;
    b.fits().await;
    let page = b.line().await;
    for words in [
        RATIO,
        GUESSED,
        RAISE,
        HALVE,
        "Another twelve weeks with the arms exchanged.",
    ] {
        has(&page, words);
    }
    has(&page, "its smallest possible p is 0.33");
}
