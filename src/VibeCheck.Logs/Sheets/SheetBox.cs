namespace VibeCheck.Logs.Sheets;

/// <summary>A box to tick on the bench sheet.</summary>
public enum SheetBox
{
    /// <summary>The propellers are off; applies to the whole aircraft.</summary>
    PropellersOff,

    /// <summary>The battery is out; applies to the whole aircraft.</summary>
    BatteryOut,

    /// <summary>The shims of a motor are fitted.</summary>
    ShimsFitted,

    /// <summary>All screws of a motor are tightened to the same torque.</summary>
    Torqued,

    /// <summary>A motor was read again after the work.</summary>
    AsLeftRead,
}
