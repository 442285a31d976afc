//! The whole job, checked from outside.

#[cfg(test)]
#[cfg(test)]
#[cfg(test)]
#[cfg(test)]
#[cfg(test)]
#[cfg(test)]
#[cfg(test)]
mod format_page;
mod house;
mod planner_exhaustive;
mod published_cure;
mod published_fit;
mod published_geometry;
mod published_money;
mod published_rings;
mod published_weighing;
