//! A formula from what a baker has on paper: masses become percentages.

use crate::dough::formula::from_masses::{Masses, StepOnPaper, name_of};
use crate::dough::formula::{IngredientKind, Yeast};
use crate::grain::Form as GrainForm;
use crate::quantity::fraction::Percent;
use crate::quantity::{Milligrams, Problem, WetBasis, bounds};
use crate::render::formula::mass_in_comment;
use crate::web::draw::{self, Choice};
use crate::web::fields::Faulty;
use crate::web::route::{Form, Route};
use crate::web::visit::{Done, Visit};
use maud::{Markup, html};

pub const ROUTES: &[Route] = &[Route::form(
    "/book/formulas/masses",
    Form {
        title: |_| "A formula from masses".to_owned(),
        show,
        act,
    },
)];

/// Flours of one dough; more are typed into a formula file.
const FLOURS: usize = 3;
const YEASTS: [Yeast; 3] = [Yeast::Instant, Yeast::ActiveDry, Yeast::Fresh];

fn show(visit: &mut Visit) -> anyhow::Result<Markup> {
    let forms = GrainForm::ALL.map(|form| Choice::plain(form.as_str()));
    let yeasts = YEASTS.map(|kind| Choice::plain(name_of(kind)));
    Ok(html! {
        p { "One dough as it stands on paper. A dough with a sponge is added as a file." }
        (draw::text(visit, "name", "What it is called", ""))
        (draw::mass(visit, "grain", "Wet grain", "", "g"))
        (draw::count(visit, "moisture", "Moisture of that grain", "", "%"))
        (draw::choices(visit, "form", "Its form", &forms, GrainForm::Whole.as_str()))
        @for place in 0..FLOURS {
            fieldset {
                legend { "Flour " (place + 1) }
                (draw::text(visit, &format!("flour_{place}"), "Name", ""))
                (draw::mass(visit, &format!("mass_{place}"), "Weight", "", "g"))
            }
        }
        (draw::mass(visit, "water", "Water that is poured", "", "g"))
        (draw::mass(visit, "salt", "Salt", "", "g"))
        (draw::choices(visit, "yeast", "Yeast", &yeasts, name_of(Yeast::Instant)))
        (draw::mass(visit, "yeast_mass", "Weight of the yeast", "", "g"))
        (draw::count(visit, "pieces", "Divided into", "", "pieces"))
        (draw::text(visit, "dough_temp", "How warm the dough leaves the mixer, such as 26C", ""))
        (draw::text(visit, "mixing_rise", "By how much mixing warms the dough, such as 5K", ""))
        (draw::text(visit, "bake_loss", "What a loaf loses in the oven and while it cools, such as 12%", ""))
        (draw::area(visit, "steps", "What is done, a line each, such as mix=10min or bake=40min 220C", ""))
        p.send { button.main type="submit" { "Add it" } }
    })
}

/// `mix=10min`, `bake=40min 220C`, a line each.
fn steps(text: &str) -> Result<Vec<StepOnPaper>, Problem> {
    text.lines()
        .map(str::trim)
        .filter(|line| !line.is_empty())
        .map(|line| {
            let (kind, rest) = line.split_once('=').ok_or_else(|| {
                Problem::new(format!("`{line}` is no step: write it like mix=10min"))
            })?;
            let (takes, temperature) = match rest.trim().split_once(' ') {
                Some((takes, temperature)) => (takes, Some(temperature.trim().to_owned())),
                None => (rest.trim(), None),
            };
            Ok(StepOnPaper {
                kind: kind.trim().to_owned(),
                takes: takes.to_owned(),
                temperature,
            })
        })
        .collect()
}

fn act(visit: &mut Visit) -> anyhow::Result<Done> {
    let typed = &mut visit.typed;
    let name = typed.name("name", "the name");
    let (grain, water) = (typed.mass("grain"), typed.mass("water"));
    let (salt, yeast_mass) = (typed.mass_if("salt"), typed.mass_if("yeast_mass"));
    let pieces = typed.count_if("pieces");
    let moisture = typed.value_if::<Percent>("moisture", "%");
    let mut flours: Vec<(String, Milligrams)> = Vec::new();
    for place in 0..FLOURS {
        let (field, mass) = (format!("flour_{place}"), format!("mass_{place}"));
        if typed.given(&field).is_some() || typed.given(&mass).is_some() {
            flours.extend(typed.name(&field, "the flour").zip(typed.mass(&mass)));
        }
    }
    if flours.is_empty() && typed.faults().is_empty() {
        typed.fault("flour_0", &Problem::new("a flour is missing"));
    }
    if moisture == Some(None) {
        let problem = Problem::new(
            "the moisture is missing: without it nobody can say how much of the grain is flour",
        );
        typed.fault("moisture", &problem);
    }
    let kind = YEASTS
        .into_iter()
        .find(|kind| typed.hidden("yeast") == name_of(*kind))
        .unwrap_or(Yeast::Instant);
    let form = typed.hidden("form").parse().unwrap_or(GrainForm::Whole);
    let steps = match steps(typed.hidden("steps")) {
        Ok(steps) => steps,
        Err(problem) => return Err(typed.fault("steps", &problem).into()),
    };
    typed.all_read()?;
    let (
        Some(name),
        Some(grain),
        Some(water),
        Some(Some(moisture)),
        Some(salt),
        Some(yeast_mass),
        Some(pieces),
    ) = (name, grain, water, moisture, salt, yeast_mass, pieces)
    else {
        return Err(Faulty.into());
    };
    let moisture = match moisture.within(&bounds::MOISTURE).and_then(WetBasis::new) {
        Ok(moisture) => moisture,
        Err(problem) => return Err(typed.fault("moisture", &problem).into()),
    };
    let salt = salt.map(|mass| ("salt".to_owned(), IngredientKind::Salt, mass));
    let yeast =
        yeast_mass.map(|mass| (name_of(kind).to_owned(), IngredientKind::Yeast(kind), mass));
    let masses = Masses {
        name,
        grain,
        moisture,
        form,
        flours,
        water,
        ingredients: salt.into_iter().chain(yeast).collect(),
        preferments: Vec::new(),
        pieces,
        whole_dough: [
            typed.given("dough_temp"),
            typed.given("mixing_rise"),
            None,
            typed.given("bake_loss"),
        ],
        steps,
    };
    let units = visit.units();
    let text = masses.to_text(&|mass| mass_in_comment(mass, units))?;
    let answer = visit.desk.add_formula(&text)?;
    visit.booked(&answer);
    Ok(Done::GoTo("/book/formulas".to_owned()))
}
