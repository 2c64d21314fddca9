//! By which ports the hot water that a cylinder stores leaves it.

use super::{Attachment, Site};
use crate::layout::{
    COIL_FLOW, COIL_RETURN, COLD_INLET, Cylinder, DRAW_OFF, Id, InLineKind, PRIMARY_FLOW, PRIMARY_RETURN, Service,
    WhichEnd,
};

impl Site<'_> {
    /// Whether the hot water that a cylinder stores leaves it by a port: by its draw-off, or by a connection of another
    /// name on which a hot pipe or an open vent is drawn. A cold feed on such a connection lets none out, nor does a hot
    /// pipe in which a non-return valve points to the cylinder, as on the way back of a circulation.
    #[must_use]
    pub fn lets_hot_water_out(&self, cylinder: &Cylinder, port: &Id) -> bool {
        let mut pipes = self.on_port(&cylinder.id, port.as_str());
        port.as_str() == DRAW_OFF || pipes.any(|pipe| self.leads_hot_water_off(pipe))
    }

    /// The ports of a cylinder by which its hot water leaves and on which a pipe is drawn: the draw-off first, then the
    /// others by name.
    #[must_use]
    pub fn hot_ports(&self, cylinder: &Cylinder) -> Vec<&Id> {
        let pipes = self.attached(&cylinder.id).iter();
        let pipes = pipes.filter(|pipe| pipe.port.as_str() == DRAW_OFF || self.leads_hot_water_off(pipe));
        let mut ports: Vec<&Id> = pipes.map(|pipe| pipe.port).collect();
        ports.sort_unstable_by_key(|port| (port.as_str() != DRAW_OFF, *port));
        ports.dedup();
        ports
    }

    fn leads_hot_water_off(&self, pipe: &Attachment<'_>) -> bool {
        if matches!(pipe.port.as_str(), COLD_INLET | COIL_FLOW | COIL_RETURN | PRIMARY_FLOW | PRIMARY_RETURN) {
            return false;
        }
        let run = self.run(pipe.run);
        let mut fittings = run.fittings.iter().flatten();
        match run.service {
            Service::OpenVent => true,
            Service::HotDistribution => {
                pipe.end == WhichEnd::From || fittings.all(|fitting| fitting.kind != InLineKind::NonReturnValve)
            }
            _ => false,
        }
    }
}
