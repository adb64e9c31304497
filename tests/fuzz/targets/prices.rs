//! A book of prices, figures and hours. It is refused in words, or a plan can be made and priced with it.
#![no_main]

use std::path::Path;
use std::sync::LazyLock;
use wallfoot::commands::{embedded, read_book};
use wallfoot::content::Content;
use wallfoot::judge::{Job, Stretches};
use wallfoot::units::Units;
use wallfoot::visit::Visit;
use wallfoot_fuzz::{OWN, bounded, fresh};

static DEMO: LazyLock<Visit> = LazyLock::new(|| {
    let text = embedded("demo/back-patio.yaml").expect("the demo is built in");
    Visit::parse(text, Path::new("demo")).expect("the demo is a visit")
});

libfuzzer_sys::fuzz_target!(|text: &str| bounded(|| {
    OWN.with_borrow_mut(|content| {
        priced(text, content);
        // a book changes figures and hours: the next one begins with what is shipped
        if text.contains("figures") || text.contains("activities") {
            *content = fresh();
        }
    });
}));

fn priced(text: &str, content: &mut Content) {
    let prices = match read_book(text, content) {
        Ok(prices) => prices,
        Err(error) => {
            let _ = error.to_string();
            return;
        }
    };
    let answers = DEMO.answers(&content.flow, Units::Inch).0;
    let assessed = vec![("wall".to_owned(), content.assess(&answers, Units::Inch))];
    let stretches = Stretches::of(assessed).expect("there is one");
    let job = Job::of(&stretches);
    let Some(plan) = job.plan() else { return };
    let _ = (job.quantities(), job.not_counted(), job.costs(&plan, &prices));
    let _ = job.json(None, Some(&prices));
}
