//! The whole job, checked from outside.

#[cfg(test)]
mod bad_input;
#[cfg(test)]
mod first_edition;
#[cfg(test)]
mod format_page;
#[cfg(test)]
mod golden;
#[cfg(test)]
mod house;
#[cfg(test)]
mod loaders;
#[cfg(test)]
mod planner_exhaustive;
#[cfg(test)]
mod planner_instance;
#[cfg(test)]
mod published_cure;
#[cfg(test)]
mod published_fit;
#[cfg(test)]
mod published_geometry;
#[cfg(test)]
mod published_money;
#[cfg(test)]
mod published_rings;
#[cfg(test)]
mod published_weighing;
#[cfg(test)]
mod support;
#[cfg(test)]
mod whole_order;
