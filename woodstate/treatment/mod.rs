//! Treatment of waterlogged wood: which routes suit a timber, how fast a solute comes in or goes out, and the numbers of baths.
//!
//! | question | here |
//! |---|---|
//! | which route for which timber, and why | [`judge`], [`Circumstances`], [`Grading`] |
//! | what to measure next | [`next_steps`], [`Gap`] |
//! | how long for 90 % on average, for the centre? | [`Body`] |
//! | share of the final uptake at a reduced time | [`slab_uptake`], [`cylinder_uptake`], [`sphere_uptake`] |
//! | concentration at a place | [`slab_value`], [`cylinder_value`], [`sphere_value`] |
//! | a bath that grows poorer | [`slab_uptake_stirred`], [`cylinder_uptake_stirred`], [`sphere_uptake_stirred`], [`reduced_time_stirred`] |
//! | uniform wood in one bath after the other | [`Steeping`] |
//! | a soft rim over a sound core, baths one after the other | [`Layered`] |
//! | the same in a beam or a box | [`Block`] |
//! | warm baths | [`arrhenius_factor`], [`diffusivity_at`] |
//! | 40 % by mass or by volume? | [`mass_per_volume`], [`mass_fraction`], [`solution_density`], [`mass_fraction_at`] |
//! | what to weigh for a tank, and for each step | [`Tank`], [`Solution`] |
//! | what the wood holds in the end | [`impregnant_held`], [`concentration_to_hold`], [`bulking_need`], [`pore_filling`] |
//! | how many baths of clean water | [`washing_baths`], [`washing_left`] |
//! | chelating agent for iron, base for acid | [`agent_for_iron`], [`agent_for_hardness`], [`acid_of_sulfur`], [`base_for_acid`] |
//! | a timber weighed again and again in a bath made stronger step by step | [`fit_course`], [`BathHistory`] |
//! | when it will stand where it shall | [`time_to_reach`] |
//! | what the water of a tank shows, bath after bath, and what that says of the wood | [`washing_course`], [`fit_washing`] |
//! | does it lag, does the tank leak? | [`lag`], [`loss_a_week`], [`change_a_week`] |
//! | how well was shrinkage kept off? | [`anti_shrink_efficiency`] |
//! | at which pressure frozen wood dries | [`VapourCurve`] |
//!
//! Plain numbers in, plain numbers out, in units that stand in each doc: m, s and m²/s for diffusion, kg, L and kg/m³ for
//! baths. A diffusivity of a whole timber is known to an order of magnitude at best, so it is an interval ([`Ranged`]), and
//! so is every time that comes from it. Numbers of the trade, such as densities of solutions, are arguments.
//!
//! Not here: tables and their columns, the wood's state (`state`), what authors say of routes (`reference`).

mod answer;
mod bath_history;
mod block;
mod body;
mod check;
mod circumstance;
mod course;
mod course_fit;
mod cylinder;
mod efficiency;
mod forecast;
mod form;
mod gap;
mod grading;
mod held;
mod ice;
mod judge;
mod layered;
mod line;
mod next;
mod profile_fit;
mod ranged;
mod response;
mod series;
mod sign;
mod slab;
mod soaking;
mod solution;
mod sphere;
mod steeping;
mod stirred;
mod stoichiometry;
mod tank;
mod temperature;
mod uptake_table;
mod washing;
mod washing_course;
mod washing_fit;

pub use answer::Answer;
pub use bath_history::BathHistory;
pub use block::{Block, Grain};
pub use body::Body;
pub use circumstance::{Circumstances, JudgedZone, Laboratory, NoGrade, Recorded, TimberSize};
pub use course_fit::{CourseFit, CourseLine, Weighing, course_line, fit_course};
pub use cylinder::{cylinder_uptake, cylinder_value};
pub use efficiency::anti_shrink_efficiency;
pub use forecast::{Whereabouts, time_to_reach};
pub use form::Form;
pub use gap::{Gap, GapAnswer};
pub use grading::Grading;
pub use held::{bulking_need, concentration_to_hold, impregnant_held, pore_filling};
pub use ice::VapourCurve;
pub use judge::{Bearing, JudgedRoute, RouteReason, any_holds, judge, verdict_at_grades, verdict_if};
pub use layered::{Layer, Layered};
pub use next::{NextStep, VerdictChange, next_steps};
pub use ranged::Ranged;
pub use sign::{change_a_week, lag, loss_a_week};
pub use slab::{slab_uptake, slab_value};
pub use soaking::{BathStep, Moment, SoakOptions, Soaking};
pub use solution::{mass_fraction, mass_fraction_at, mass_per_volume, solution_density};
pub use sphere::{sphere_uptake, sphere_value};
pub use steeping::Steeping;
pub use stirred::{cylinder_uptake_stirred, reduced_time_stirred, slab_uptake_stirred, sphere_uptake_stirred};
pub use stoichiometry::{acid_of_sulfur, agent_for_hardness, agent_for_iron, base_for_acid};
pub use tank::{BathMix, Solution, Tank};
pub use temperature::{arrhenius_factor, diffusivity_at};
pub use washing::{washing_baths, washing_left};
pub use washing_course::{WashBath, WashMoment, washing_course};
pub use washing_fit::{WashReading, WashingFit, fit_washing};
