//! Commands that measure: bands and their shares, spots, and two spots against each other.

pub(crate) mod wire;

use crate::error::Error;
use crate::state::Shell;
use crate::worker::blocking;
use tauri::State;
use tonefast_core::{Bands, Difference, Frame, Reading};
use wire::{BandsInfo, BandsSetting, DifferenceInfo, FrameCorners, SpotAt, SpotInfo};

/// Divides a photo into bands, and counts what of the frame falls in each.
#[tauri::command]
pub(crate) async fn set_bands(
    id: u32,
    setting: BandsSetting,
    frame: Option<FrameCorners>,
    shell: State<'_, Shell>,
) -> Result<BandsInfo, Error> {
    let frame = frame.map(Frame::try_from).transpose()?;
    let open = shell.photo(id)?;
    blocking(move || {
        let histogram = open.photo.tonal_map().histogram(frame.as_ref());
        let bands = setting.divide(&histogram)?;
        Ok(BandsInfo::new(&bands, &histogram))
    })
    .await
}

/// Bands where no picture is open: even ones, where they would be fitted to it.
#[tauri::command]
pub(crate) async fn bands_alone(setting: BandsSetting) -> Result<BandsInfo, Error> {
    blocking(move || Ok(BandsInfo::of_live(setting, None)?)).await
}

/// What may be said of one spot.
#[tauri::command]
pub(crate) async fn read_spot(
    id: u32,
    spot: SpotAt,
    edges: Vec<f32>,
    shell: State<'_, Shell>,
) -> Result<SpotInfo, Error> {
    let bands = Bands::by_hand(edges)?;
    let open = shell.photo(id)?;
    blocking(move || Ok(Reading::take(&open.photo, spot.try_into()?, &bands).into())).await
}

/// Reads two spots, and how the second stands to the first; nothing where one of them has no reading.
#[tauri::command]
pub(crate) async fn compare_spots(
    id: u32,
    first: SpotAt,
    second: SpotAt,
    edges: Vec<f32>,
    shell: State<'_, Shell>,
) -> Result<Option<DifferenceInfo>, Error> {
    let bands = Bands::by_hand(edges)?;
    let open = shell.photo(id)?;
    blocking(move || {
        let read = |spot: SpotAt| Ok::<_, Error>(Reading::take(&open.photo, spot.try_into()?, &bands).ok());
        let both = read(first)?.zip(read(second)?);
        Ok(both.map(|(first, second)| Difference::between(&first, &second).into()))
    })
    .await
}
