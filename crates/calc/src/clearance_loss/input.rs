//! How the tightness of rings, neck and chock is asked for, by the radial clearance and by the end play that is left.

use crate::method::Param;

/// How tight the inner ring sits.
pub(crate) const INTERFERENCE_INNER: Param = Param::number(
    "interference_inner_um",
    "um",
    "effective interference of the inner ring; zero or less = loose",
    "-100000 to 100000",
);

/// How tight the outer ring sits.
pub(crate) const INTERFERENCE_OUTER: Param = Param::number(
    "interference_outer_um",
    "um",
    "effective interference of the outer ring; zero or less = loose, none = 0",
    "-100000 to 100000",
)
.optional();

/// A hollow neck.
pub(crate) const SHAFT_BORE: Param = Param::number(
    "shaft_bore_mm",
    "mm",
    "bore of the neck; none or 0 = solid",
    "0 up to below bore_mm",
)
.optional();

/// A chock as a ring.
pub(crate) const HOUSING_OUTSIDE: Param = Param::number(
    "housing_outside_mm",
    "mm",
    "outside of the chock as a ring; none = thick",
    "above outside_mm",
)
.optional();
