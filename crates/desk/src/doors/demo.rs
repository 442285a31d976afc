//! `heldfast demo DIR`: writes a demo studio.

use std::io::Write;
use std::path::Path;

use anyhow::Result;
use workbench::clock::{Clock as _, SystemClock};
use workbench::founding;

pub(crate) fn run(dir: &Path, out: &mut dyn Write) -> Result<bool> {
    let demo = founding::demo(dir, SystemClock::new().now())?;
    writeln!(
        out,
        "a demo studio with {} orders and {} photos is in {}",
        demo.studio.orders().len(),
        demo.photos.len(),
        dir.display()
    )?;
    Ok(true)
}
