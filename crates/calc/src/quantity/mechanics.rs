//! Quantities of force and mass: pressure, force, torque, area, mass, volume.
//!
//! With the micrometre as base, the base unit of pressure is the megapascal exactly.

pub use super::shop::{AngularVelocity, Area, Force, Mass, Pressure, Torque, Volume};
use uom::si::{
    angular_velocity::revolution_per_minute, area::square_millimeter, force::newton,
    mass::kilogram, pressure::megapascal, torque::newton_meter, volume::cubic_centimeter,
};

/// Grams in a kilogram.
const GRAMS_PER_KILOGRAM: f64 = 1_000.0;

/// A pressure or stress from megapascals (N/mm2).
pub fn megapascals(value: f64) -> Pressure {
    Pressure::new::<megapascal>(value)
}

/// A pressure or stress in megapascals (N/mm2).
pub fn as_megapascals(pressure: Pressure) -> f64 {
    pressure.get::<megapascal>()
}

/// A force from newtons.
pub fn newtons(value: f64) -> Force {
    Force::new::<newton>(value)
}

/// A force in newtons.
pub fn as_newtons(force: Force) -> f64 {
    force.get::<newton>()
}

/// A torque from newton metres.
pub fn newton_metres(value: f64) -> Torque {
    Torque::new::<newton_meter>(value)
}

/// A torque in newton metres.
pub fn as_newton_metres(torque: Torque) -> f64 {
    torque.get::<newton_meter>()
}

/// An area from square millimetres.
pub fn square_millimetres(value: f64) -> Area {
    Area::new::<square_millimeter>(value)
}

/// An area in square millimetres.
pub fn as_square_millimetres(area: Area) -> f64 {
    area.get::<square_millimeter>()
}

/// A mass from kilograms.
pub fn kilograms(value: f64) -> Mass {
    Mass::new::<kilogram>(value)
}

/// A mass in kilograms.
pub fn as_kilograms(mass: Mass) -> f64 {
    mass.get::<kilogram>()
}

/// A mass from grams.
pub fn grams(value: f64) -> Mass {
    kilograms(value / GRAMS_PER_KILOGRAM)
}

/// A mass in grams.
pub fn as_grams(mass: Mass) -> f64 {
    as_kilograms(mass) * GRAMS_PER_KILOGRAM
}

/// A volume from cubic centimetres.
pub fn cubic_centimetres(value: f64) -> Volume {
    Volume::new::<cubic_centimeter>(value)
}

/// A volume in cubic centimetres.
pub fn as_cubic_centimetres(volume: Volume) -> f64 {
    volume.get::<cubic_centimeter>()
}

/// A speed from revolutions per minute.
pub fn revolutions_per_minute(value: f64) -> AngularVelocity {
    AngularVelocity::new::<revolution_per_minute>(value)
}

/// A speed in revolutions per minute.
pub fn as_revolutions_per_minute(speed: AngularVelocity) -> f64 {
    speed.get::<revolution_per_minute>()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::millimetres;

    #[test]
    fn pressure_on_an_area_is_a_force_and_with_an_arm_a_torque() {
        let force: Force = megapascals(2.0) * square_millimetres(50.0);
        assert!((as_newtons(force) - 100.0).abs() < 1e-9);
        let torque = as_newtons(force) * 0.25;
        assert!((as_newton_metres(newton_metres(torque)) - 25.0).abs() < 1e-12);
        let area: Area = millimetres(5.0) * millimetres(4.0);
        assert!((as_square_millimetres(area) - 20.0).abs() < 1e-12);
    }

    #[test]
    fn masses_volumes_and_speeds_come_back() {
        for value in [0.0, 0.1, 957.0, 1e6] {
            assert!((as_grams(grams(value)) - value).abs() <= 1e-12 * value);
            assert!(
                (as_cubic_centimetres(cubic_centimetres(value)) - value).abs() <= 1e-12 * value
            );
            let speed = revolutions_per_minute(value);
            assert!((as_revolutions_per_minute(speed) - value).abs() <= 1e-12 * value);
        }
        assert_eq!(as_grams(kilograms(1.5)), 1_500.0);
    }
}
