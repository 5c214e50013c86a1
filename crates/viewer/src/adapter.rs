//! Whether anything here can draw.

use bevy::tasks::block_on;
use thiserror::Error;

/// Nothing here can draw.
#[derive(Clone, Copy, Debug, Error, PartialEq, Eq)]
#[error(
    "no graphics adapter was found, so nothing can be drawn. Install the driver of your graphics card; without a card, \
     install a software driver (Debian and Ubuntu: apt-get install mesa-vulkan-drivers). `wideberth check` needs none."
)]
pub struct NoAdapter;

/// What draws.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Adapter {
    /// A graphics card.
    Card,
    /// The processor: slow.
    Software,
}

/// Looks for something that can draw.
///
/// # Errors
/// When there is nothing.
pub fn check() -> Result<Adapter, NoAdapter> {
    let backends = wgpu::Backends::PRIMARY;
    let descriptor = wgpu::InstanceDescriptor::new_without_display_handle_from_env();
    let instance = wgpu::Instance::new(wgpu::InstanceDescriptor { backends, ..descriptor });
    let adapters = block_on(instance.enumerate_adapters(backends));
    let is_card = |adapter: &wgpu::Adapter| adapter.get_info().device_type != wgpu::DeviceType::Cpu;
    match adapters.iter().any(is_card) {
        _ if adapters.is_empty() => Err(NoAdapter),
        true => Ok(Adapter::Card),
        false => Ok(Adapter::Software),
    }
}
