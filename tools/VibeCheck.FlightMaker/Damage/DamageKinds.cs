using VibeCheck.FlightMaker.Damage.ImuLevel;
using VibeCheck.FlightMaker.Damage.ImuSamples;
using VibeCheck.FlightMaker.Damage.Job;
using VibeCheck.FlightMaker.Damage.Recorder;
using VibeCheck.FlightMaker.Damage.Telemetry;
using VibeCheck.FlightMaker.Damage.Time;

namespace VibeCheck.FlightMaker.Damage;

/// <summary>All kinds of damage in the campaign.</summary>
public static class DamageKinds
{
    public static IReadOnlyList<DamageKind> All { get; } =
    [
        .. Of("IMU level", ScaleDamage.Kinds, AxisDamage.Kinds, RangeDamage.Kinds),
        .. Of("IMU samples", LossDamage.Kinds, CellDamage.Kinds),
        .. Of("Recorder", FilterDamage.Kinds, RateDamage.Kinds),
        .. Of("Time", StampDamage.Kinds),
        .. Of("Telemetry", TemperatureDamage.Kinds, SpeedDamage.Kinds, ReportDamage.Kinds),
        .. Of("Job", FlightMixups.Kinds),
    ];

    private static IEnumerable<DamageKind> Of(string subject, params IReadOnlyList<DamageKind>[] lists) =>
        lists.SelectMany(l => l).Select(k => k with { Subject = subject });
}
