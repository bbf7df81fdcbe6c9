using VibeCheck.Core.Airframes;
using VibeCheck.Core.Flights.Accounting;
using VibeCheck.Core.Flights.Hovers;
using VibeCheck.Core.Flights.Lines;
using VibeCheck.Core.Flights.Structure;
using VibeCheck.Core.Orders.Group;
using VibeCheck.Core.Orders.SpeedSearch;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights;

/// <summary>All results for one flight.</summary>
public sealed record FlightAnalysis
{
    /// <summary>The airframe for which it was calculated.</summary>
    public required Airframe Airframe { get; init; }

    /// <summary>How the files were understood.</summary>
    public required FlightInput Input { get; init; }

    /// <summary>Ambient temperature used, °C; null when unknown.</summary>
    public double? AmbientC { get; init; }

    /// <summary>The hover time that was used.</summary>
    public required HoverTime Hover { get; init; }

    /// <summary>Broadband levels of each channel over the hover.</summary>
    public required IReadOnlyList<Level> Levels { get; init; }

    /// <summary>One entry per motor, in the order of the airframe.</summary>
    public required IReadOnlyList<MotorAnalysis> Motors { get; init; }

    /// <summary>Root of the summed squares of all orders of all motors, m/s²: the vibration on which the call is based.</summary>
    public required Estimate RotorVibrationMps2 { get; init; }

    /// <summary>Yaw trim.</summary>
    public required YawTrim YawTrim { get; init; }

    /// <summary>Peaks of the acceleration spectra, each with its cause.</summary>
    public required IReadOnlyList<SpectralPeak> Peaks { get; init; }

    /// <summary>Spectra over the hover, for figures.</summary>
    public required IReadOnlyList<Spectrum> Spectra { get; init; }

    /// <summary>Findings: diagnoses from the measurements.</summary>
    public required IReadOnlyList<Finding> Findings { get; init; }

    /// <summary>The start of findings that were not present from the start of the hover.</summary>
    public IReadOnlyList<FindingOnset> Onsets { get; init; } = [];

    /// <summary>Warnings that limit the interpretation of the results.</summary>
    public required IReadOnlyList<FlightWarning> Warnings { get; init; }

    /// <summary>Faults of the log that the data shows, and how each was handled.</summary>
    public IReadOnlyList<QualityIssue> Quality { get; init; } = [];

    /// <summary>Resonances of the airframe, in rising frequency; empty when none is found.</summary>
    public IReadOnlyList<StructureMode> Resonances { get; init; } = [];

    /// <summary>Centre of gravity from the speeds; its components are unknown without the speeds of all motors.</summary>
    public GravityOffset? GravityOffset { get; init; }

    /// <summary>Result of the search in the vibration for speeds that the log lacks; null when there was none.</summary>
    public SpeedSearchResult? SpeedSearch { get; init; }

    /// <summary>All rotors together, where their speeds are not logged; null where they are, or without a hover.</summary>
    public GroupResult? Group { get; init; }

    /// <summary>Total vibration of the hover in parts that add up; null if the hover is shorter than a window.</summary>
    public VibrationAccount? Accounting { get; init; }

    /// <summary>How the motors respond to their commands, and how the battery supplies the motors.</summary>
    public PowerTrain PowerTrain { get; init; } = new([], [], null);

    /// <summary>Vibration of the rotors, m/s²: from the orders of all motors, or from the group where the log lacks speeds.</summary>
    public Estimate VibrationMps2 => VibrationIsOfGroup ? Group!.TotalMps2 : RotorVibrationMps2;

    /// <summary>Whether <see cref="VibrationMps2"/> is that of the rotors as a group.</summary>
    public bool VibrationIsOfGroup => !RotorVibrationMps2.IsKnown && Group is not null;

    /// <summary>Density of the acceleration over time, for figures; null when the record is too short.</summary>
    public Spectrogram? Spectrogram { get; init; }

    /// <summary>Density of the acceleration against rotor speed over the whole flight, for figures; null without speeds.</summary>
    public SpeedFrequencyMap? SpeedMap { get; init; }

    /// <summary>Orders whose size is known, of a single motor or of a group of close motors; each once, in rising order.</summary>
    internal IEnumerable<int> MeasuredOrders =>
        Motors
            .SelectMany(m => m.Orders)
            .Where(o => o.RmsMps2.IsKnown || o.GroupMps2 is { IsKnown: true })
            .Select(o => o.Order)
            .Distinct()
            .Order();

    /// <summary>Orders window by window, for the checks of the log; null without speeds or with a short hover.</summary>
    internal ShortTimeOrders? ShortTimeOrders { get; init; }

    /// <summary>Rise of the floor towards the low orders; empty without speeds.</summary>
    internal IReadOnlyList<OrderFlank> OrderFlanks { get; init; } = [];
}
