//! The command that tells the light of a photo.

pub(crate) mod wire;

use crate::error::Error;
use crate::photo::wire::PhotoInfo;
use crate::state::Shell;
use crate::worker::blocking;
use std::sync::Arc;
use tauri::State;
use tonefast_core::{Light, Patch, PatchKind};
use wire::{CircumstancesTold, PatchAt, PatchName};

/// Tells the light of a photo by patches of known tone, or takes back what was told; the lit one is a new photo.
#[tauri::command]
pub(crate) async fn set_light(
    id: u32,
    patches: Vec<PatchAt>,
    circumstances: CircumstancesTold,
    shell: State<'_, Shell>,
) -> Result<PhotoInfo, Error> {
    let open = shell.photo(id)?;
    let confirmed: Vec<usize> = (0..patches.len()).filter(|&at| patches[at].confirmed).collect();
    let patches = patches.into_iter().map(Patch::try_from).collect::<Result<Vec<_>, _>>()?;
    let subject = Arc::clone(&open.as_seen);
    let lit = blocking(move || {
        if patches.is_empty() {
            return Ok(subject);
        }
        let light = Light::judge_confirmed(&subject, &patches, &confirmed, circumstances.into())?;
        Ok(Arc::new(subject.lit(&Arc::new(light))))
    })
    .await?;
    let id = shell.keep_lit(&open, lit);
    Ok(PhotoInfo::new(id, &*shell.photo(id)?))
}

/// The L* that a patch of a kind has unless measured otherwise.
#[tauri::command]
pub(crate) fn usual_tone(kind: PatchName) -> f64 {
    PatchKind::from(kind).usual_lightness()
}
