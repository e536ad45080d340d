//! What a step has settled on is on the bike before anything is said or asked, whichever step it was; and what a plan
//! may share among its tunes fits its budget to the lap and to the minute.

use std::sync::Arc;

use clickwise::physics::{Number, Unit};
use clickwise::plan::Plan;
use clickwise::rehearsal::{Kind, Rider};
use clickwise::session::{Answer, Ask, QuestionKind, Session, Stated};
use clickwise::walk::{Proof, prove, share};

use crate::support::every_ride::plan_of;

fn plan(text: &str) -> Arc<Plan> {
    plan_of(text).unwrap_or_else(|| panic!("no plan:\n{text}"))
}

/// How often something was fitted right before the text at the end, in rides with many riders.
fn fitted_before_it_is_said(text: &str) -> u32 {
    let plan = plan(text);
    let mut times = 0;
    for kind in Kind::ALL {
        for seed in 0..40 {
            let mut rider = Rider::new(kind, seed, 0);
            let mut session = Session::begin(Arc::clone(&plan), seed);
            let mut before = None;
            while let Some(ask) = session.ask() {
                if let Ask::Say(_) = &ask {
                    for id in plan.bike().ids() {
                        assert_eq!(
                            session.fitted_at(id),
                            Some(session.stands_at(id)),
                            "{kind:?} {seed}\n{text}"
                        );
                    }
                    times += u32::from(matches!(before, Some(Ask::Fit { first: false, .. })));
                }
                session = session.answer(&rider.answer(&session, &ask)).unwrap();
                before = Some(ask);
            }
        }
    }
    times
}

#[test]
fn what_is_settled_is_fitted_before_anything_is_said() {
    const BIKE: &str = "bike \"B\"\nrider \"Mo\"\n  weight 80 kg\npart shock\n  stroke 60 mm\n  measured to 0.5 mm\n  \
        coil 300 or 400 or 500 or 600 lb/in, start 400, sag 28 to 29 %\n  rebound 0 to 12 clicks, start 6\nsteps\n";
    for steps in ["  tune every rebound\n", "  tune every rebound\n  confirm everything, 2 pairs\n"] {
        let times = fitted_before_it_is_said(&format!("{BIKE}{steps}  say \"Drink.\"\n"));
        assert!(times > 10, "{times}: {steps}");
    }
}

/// Two coils, one too soft and one too firm: the softer one comes a little nearer, and the firmer one is in the shock.
#[test]
fn a_spring_that_comes_nearest_is_fitted_before_anything_is_said() {
    let text = "bike \"B\"\npart shock\n  stroke 60 mm\n  measured to 0.5 mm\n  \
        coil 400 or 500 lb/in, start 400, sag 28 to 29 %\nsteps\n  measure every spring\n  say \"Drink.\"\n";
    let mut session = Session::begin(plan(text), 0);
    let mut asked = Vec::new();
    while let Some(ask) = session.ask() {
        let answer = match &ask {
            Ask::Sag { fit, .. } => {
                let sag = if fit.to == 0 { 24 } else { 10 };
                Answer::Told(Stated::Value(Number::from_integer(sag), Some(Unit::Millimetre)))
            }
            Ask::Stop { .. } => Answer::RideAnyway,
            _ => Answer::Done,
        };
        asked.push(ask.kind());
        session = session.answer(&answer).unwrap();
    }
    assert!(asked.ends_with(&[QuestionKind::Fit, QuestionKind::Say]), "{asked:?}");
}

/// The tunes go by a method that is not walked, so that their bound alone decides.
#[test]
fn what_is_shared_fits_to_the_lap_and_to_the_minute() {
    let text = |most: String| {
        format!(
            "plan \"P\"\n  at most {most}\n  change 1 min\nbike \"B\"\npart fork\n  low-speed rebound 0 to 18 clicks\n  \
             high-speed rebound 0 to 18 clicks\nloop \"T\"\n  lap 4 min\nsteps\n  tune every rebound, method cross-out\n"
        )
    };
    let (mut shared, mut exact) = (0, 0);
    for most in
        (2..40).map(|laps| format!("{laps} laps")).chain((8..120).map(|minutes| format!("{minutes} min")))
    {
        let plan = plan(&text(most.clone()));
        let fits = |proof: &Proof| !proof.is_beyond_laps(&plan) && !proof.is_beyond_time(&plan);
        let Some(laps) = share(&plan).filter(|_| !fits(&prove(&plan))) else { continue };
        let proof = prove(&Arc::new(Plan::clone(&plan).with_share(laps)));
        assert!(!proof.exact, "it is walked");
        assert!(fits(&proof), "{most}: {laps} laps each");
        let next = prove(&Arc::new(Plan::clone(&plan).with_share(laps + 1)));
        assert!(!fits(&next), "{most}: one more lap each fits");
        shared += 1;
        exact += u32::from(Some(proof.worst_laps) == plan.parts().laps);
    }
    assert!(shared > 60 && exact > 5, "{shared} shared, {exact} to the lap");
}
