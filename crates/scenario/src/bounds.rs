//! The one table of what each quantity may be: name, dimension, least and greatest value, words. Checks, JSON Schema and
//! docs all read it.

use crate::quantity::Dimension;

/// The range that a quantity can sensibly have.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bound {
    /// Its name, as the docs and the schema call it.
    pub name: &'static str,
    /// What it measures.
    pub dimension: Dimension,
    /// Least value, in `unit`.
    pub min: f64,
    /// Greatest value, in `unit`.
    pub max: f64,
    /// Unit of the ends, as written in files; empty for plain numbers.
    pub unit: &'static str,
    /// What it is.
    pub words: &'static str,
}

/// A kind of quantity with a row in the table.
pub trait Bounded {
    /// Its row.
    const BOUND: Bound;
}

macro_rules! bounds {
    ($($kind:ident = $name:literal, $dimension:ident, $min:literal .. $max:literal, $unit:literal, $words:literal;)+) => {
        $(
            #[doc = concat!("Kind of quantity: ", $words, ".")]
            #[derive(Clone, Copy, Debug, PartialEq, Eq)]
            pub struct $kind;

            impl Bounded for $kind {
                const BOUND: Bound = Bound {
                    name: $name, dimension: Dimension::$dimension, min: $min, max: $max, unit: $unit, words: $words,
                };
            }
        )+

        /// Every row.
        pub const ALL: &[Bound] = &[$($kind::BOUND),+];
    };
}

bounds! {
    Coordinate = "coordinate", Length, -100000.0 .. 100000.0, "m", "place on the map, east or north of the site's origin";
    Level = "ground level", Length, -10000.0 .. 10000.0, "m", "level of the ground above the site's zero";
    AttachmentHeight = "attachment height", Length, 0.5 .. 500.0, "m", "height of a wire's attachment above the ground of its support";
    Offset = "offset", Length, -100.0 .. 100.0, "m", "sideways place of an attachment along the crossarm";
    AttachmentTolerance = "attachment tolerance", Length, 0.0 .. 5.0, "m", "how far attachments may lie from where they are stated";
    WireHeight = "wire height", Length, 0.0 .. 500.0, "m", "measured height of a wire above the ground";
    HeightTolerance = "height tolerance", Length, 0.0 .. 50.0, "m", "tolerance of a measured height";
    Along = "distance along", Length, 0.0 .. 5000.0, "m", "distance along the map from the first support of a span";
    ConductorTemperature = "conductor temperature", Temperature, -60.0 .. 250.0, "degC", "temperature of a wire";
    AirTemperature = "air temperature", Temperature, -70.0 .. 60.0, "degC", "temperature of the air";
    GustFactor = "gust factor", Number, 1.0 .. 5.0, "", "how many times the mean wind a gust may reach";
    Latitude = "latitude", Angle, -90.0 .. 90.0, "deg", "geographic latitude, north positive";
    Longitude = "longitude", Angle, -180.0 .. 180.0, "deg", "geographic longitude, east positive";
    Elevation = "elevation", Length, -450.0 .. 5500.0, "m", "height of the site above sea level";
    LineCurrent = "line current", Current, 0.0 .. 10000.0, "A", "current in a wire";
    LoadShare = "share of rated current", Ratio, 0.0 .. 200.0, "%", "current as a share of the rated current";
    Emissivity = "emissivity", Number, 0.1 .. 1.0, "", "how well a wire radiates heat";
    Absorptivity = "absorptivity", Number, 0.1 .. 1.0, "", "share of the sunshine that a wire takes up";
    Resistance = "resistance", Resistance, 0.001 .. 50.0, "ohm/km", "electrical resistance of a wire per length";
    WindSpeed = "wind speed", Speed, 0.0 .. 90.0, "m/s", "wind speed, gusts included";
    MeanWindSpeed = "mean wind speed", Speed, 0.0 .. 60.0, "m/s", "mean wind of a forecast, over 10 minutes at 10 m";
    WindTurn = "turn of the wind", Angle, 0.0 .. 180.0, "deg", "how far the wind may turn from a stated direction, either way";
    Bearing = "bearing", Angle, -360.0 .. 360.0, "deg", "direction on the map, clockwise from north";
    Ice = "ice thickness", Length, 0.0 .. 0.1, "m", "radial ice on a wire";
    IceDensity = "ice density", Density, 100.0 .. 950.0, "kg/m3", "density of ice on a wire";
    AirDensity = "air density", Density, 0.5 .. 1.6, "kg/m3", "density of the air";
    Drag = "drag coefficient", Number, 0.3 .. 2.0, "", "drag coefficient of a wire";
    SwayAllowance = "sway allowance", Length, 0.0 .. 20.0, "m", "how far gusts make wires sway beyond their shapes in steady wind";
    LineVoltage = "voltage", Voltage, 1.0 .. 2000000.0, "V", "voltage of a line";
    StatedDistance = "stated distance", Length, 0.1 .. 200.0, "m", "distance that somebody stated in writing";
    Diameter = "conductor diameter", Length, 0.001 .. 0.1, "m", "outside diameter of a wire";
    LinearMass = "conductor mass", LinearMass, 0.005 .. 20.0, "kg/m", "mass of a wire per length";
    Modulus = "modulus", Pressure, 5.0 .. 250.0, "GPa", "final modulus of elasticity of the whole section";
    MetalArea = "metal area", Area, 1.0 .. 5000.0, "mm2", "area of all metal in the section";
    Expansion = "thermal expansion", Expansion, 0.000001 .. 0.00005, "/degC", "coefficient of linear thermal expansion";
    Strength = "rated strength", Force, 100.0 .. 2000000.0, "N", "rated tensile strength";
    Tension = "horizontal tension", Force, 1.0 .. 2000000.0, "N", "horizontal tension of a wire";
    StrengthShare = "share of strength", Ratio, 0.1 .. 100.0, "%", "horizontal tension as a share of the rated strength";
    RelativeTolerance = "relative tolerance", Ratio, 0.0 .. 50.0, "%", "tolerance as a share of the value";
    PermanentStrain = "permanent strain", Ratio, 0.0 .. 1.0, "%", "permanent stretch gained since the wire was known";
    StringLength = "string length", Length, 0.05 .. 20.0, "m", "length of a suspension string";
    StringWeight = "string weight", Force, 2.0 .. 100000.0, "N", "weight of a suspension string with its fittings";
    StringArea = "string wind area", Area, 0.0 .. 20.0, "m2", "area of a suspension string that the wind meets";
    InitialStiffness = "initial stiffness", Ratio, 20.0 .. 100.0, "%", "initial modulus of a new wire as a share of the final one";
    Slope = "ground slope", Angle, 0.0 .. 30.0, "deg", "steepness of the ground";
    SettingOut = "setting-out tolerance", Length, 0.0 .. 50.0, "m", "how far a machine may stand from where it should";
    HeadingTolerance = "heading tolerance", Angle, 0.0 .. 180.0, "deg", "how far a heading may be off, either way";
    JointAngle = "joint angle", Angle, -720.0 .. 720.0, "deg", "turn of a hinge";
    JointTravel = "joint travel", Length, -1000.0 .. 1000.0, "m", "travel of a slide";
    OverrunAngle = "overrun angle", Angle, 0.0 .. 90.0, "deg", "how far a hinge runs on when stopped";
    OverrunTravel = "overrun travel", Length, 0.0 .. 50.0, "m", "how far a slide runs on when stopped";
    Deflection = "deflection", Length, 0.0 .. 50.0, "m", "how far a part may bend from where it should be";
    RopeLength = "rope length", Length, 0.0 .. 500.0, "m", "length of rope from the hang point to the hook";
    Swing = "swing", Angle, 0.0 .. 89.0, "deg", "greatest angle of a hanging rope from the plumb line";
    SailArea = "sail area", Area, 0.01 .. 2000.0, "m2", "greatest area that a load turns to the wind";
    SailDrag = "drag of a load", Number, 0.1 .. 3.0, "", "drag coefficient of a load";
    LoadMass = "load mass", Mass, 1.0 .. 2000000.0, "kg", "mass of a load with its rigging";
    YawAngle = "yaw", Angle, -360.0 .. 360.0, "deg", "turn of a hanging load about the rope";
    BodyCoordinate = "part coordinate", Length, -1000.0 .. 1000.0, "m", "place of a point in a machine's frame";
    BodyRadius = "part radius", Length, 0.0 .. 100.0, "m", "radius of a part of a machine or load";
    AxisNumber = "axis component", Number, -1.0 .. 1.0, "", "component of an axis";
    SearchTolerance = "search tolerance", Length, 0.0001 .. 1.0, "m", "width of the bracket at which the search stops";
    HeightAdded = "height added", Length, 0.01 .. 100.0, "m", "how much a line is raised";
    StopHeight = "stop height", Length, 0.5 .. 500.0, "m", "greatest height above the ground that a stop or goal posts leave";
    StopReach = "stop reach", Length, 0.5 .. 500.0, "m", "greatest reach from a machine's reference point, on the map, that a stop leaves";
    LoweredBy = "height taken off", Length, 0.01 .. 30.0, "m", "how much lower a machine or body is throughout";
    LoadLength = "load length", Length, 0.05 .. 200.0, "m", "greatest level extent of a load";
    RouteWidth = "width of a route", Length, 0.1 .. 50.0, "m", "width of the way between goal posts";
    ZoneWidth = "tolerance zone", Length, 0.1 .. 20.0, "m", "tolerance zone to each side of a buried line";
    BuriedDepth = "depth", Length, 0.05 .. 10.0, "m", "depth below the ground";
    DepthTolerance = "depth tolerance", Length, 0.0 .. 2.0, "m", "how far a measured depth may be off";
    StructureSize = "structure size", Length, 0.1 .. 200.0, "m", "width or height of a structure that may topple";
    StructureHeight = "structure height", Length, 0.0 .. 500.0, "m", "height of a structure, for rules that depend on it";
}

/// The row with this name.
#[must_use]
pub fn find(name: &str) -> Option<&'static Bound> {
    ALL.iter().find(|bound| bound.name == name)
}

impl Bound {
    /// The range in words, such as `0 m to 500 m`.
    #[must_use]
    pub fn range(&self) -> String {
        let Self { min, max, unit, .. } = self;
        if unit.is_empty() { format!("{min} to {max}") } else { format!("{min} {unit} to {max} {unit}") }
    }

    /// An example of how to write it.
    #[must_use]
    pub fn example(&self) -> String {
        self.dimension.example().to_string()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_are_distinct_and_ordered() {
        for (index, bound) in ALL.iter().enumerate() {
            assert!(bound.min < bound.max, "{}", bound.name);
            assert!(ALL[..index].iter().all(|other| other.name != bound.name), "{}", bound.name);
        }
    }
}
