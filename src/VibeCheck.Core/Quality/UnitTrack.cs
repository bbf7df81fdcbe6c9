using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>The temperature column of one motor or ESC.</summary>
/// <param name="MotorId">The motor.</param>
/// <param name="IsEsc">Whether it is that of the ESC.</param>
/// <param name="TempC">Its readings, °C.</param>
internal sealed record UnitTrack(string MotorId, bool IsEsc, Series TempC)
{
    internal string Channel => MotorId + (IsEsc ? " esc_temp" : " motor_temp");

    internal Answers Answers => IsEsc ? Answers.EscTemperatures : Answers.MotorTemperatures;

    /// <summary>All temperature columns with readings.</summary>
    internal static List<UnitTrack> Of(IEnumerable<MotorTrack> motors) =>
        [
            .. motors
                .SelectMany(m => new[] { (m.MotorId, IsEsc: false, m.MotorTempC), (m.MotorId, IsEsc: true, m.EscTempC) })
                .Where(u => u.Item3 is { Count: > 0 })
                .Select(u => new UnitTrack(u.MotorId, u.IsEsc, u.Item3!)),
        ];

    /// <summary>The motors with this column's readings replaced.</summary>
    internal static MotorTrack Put(MotorTrack motor, UnitTrack unit) =>
        motor.MotorId != unit.MotorId ? motor
        : unit.IsEsc ? motor with { EscTempC = unit.TempC }
        : motor with { MotorTempC = unit.TempC };

    /// <summary>One issue per unit, all with one cause that names them all.</summary>
    internal static IEnumerable<QualityIssue> Issues(
        IReadOnlyCollection<UnitTrack> units,
        Func<string, Statistics.Reason> cause,
        QualityEffect effect,
        double addedC = 0
    )
    {
        foreach (IGrouping<bool, UnitTrack> kind in units.GroupBy(u => u.IsEsc))
        {
            Statistics.Reason of = cause(string.Join(", ", kind.Select(u => u.Channel)));
            foreach (UnitTrack unit in kind)
            {
                yield return new()
                {
                    Cause = of,
                    Track = "telemetry",
                    Channel = unit.Channel,
                    Motor = unit.MotorId,
                    Effect = effect,
                    Affects = unit.Answers,
                    AddedC = addedC,
                };
            }
        }
    }
}
