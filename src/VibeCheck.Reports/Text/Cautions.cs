namespace VibeCheck.Reports.Text;

/// <summary>The cautions, written once, to be shown near the step that they concern.</summary>
public static class Cautions
{
    /// <summary>The caution before work on a mount.</summary>
    public const string Bench =
        "Before you touch a mount: battery out, propellers off, motors cold (after a hover they can burn). Tighten screws to the "
        + "maker's torque.";

    /// <summary>The caution before the next flight.</summary>
    public const string FirstHover =
        "First hover after work on the motors: low, short, away from people, ready to land. If anything sounds or feels different, land.";

    /// <summary>The caution at the foot of every page.</summary>
    public const string Standing =
        "This page reads logs; it does not release an aircraft to fly. Local rules, the maker's limits and licensed persons come "
        + "before it.";
}
