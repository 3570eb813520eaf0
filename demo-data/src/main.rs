//! Rewrites the committed demo pictures, paints and truths.

use std::path::Path;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"));
    let drawn = tonefast_demo::draw()?;
    std::fs::write(folder.join("low-water.jpg"), drawn.subject)?;
    std::fs::write(folder.join("low-water-easel.jpg"), drawn.easel)?;
    std::fs::write(folder.join("starter-paints.json"), drawn.starter)?;
    std::fs::write(folder.join("strips.jpg"), drawn.strips)?;
    std::fs::write(folder.join("truths.json"), drawn.truths)?;
    Ok(())
}
