using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>Finds large temperature changes that nothing else in the flights supports.</summary>
/// <param name="rises">Rises before and after.</param>
internal sealed class UnsupportedTemperatures(PairedRises rises)
{
    // A larger change must show elsewhere.
    private const double SupportedC = 25;

    internal IEnumerable<QualityIssue> Issues() =>
        [
            .. Unsupported(rises.Motors, rises.Escs, " motor_temp", Answers.MotorTemperatures),
            .. Unsupported(rises.Escs, rises.Motors, " esc_temp", Answers.EscTemperatures),
        ];

    private IEnumerable<QualityIssue> Unsupported(PairedRise[] units, PairedRise[] otherKind, string column, Answers answers)
    {
        int[] great =
        [
            .. Enumerable
                .Range(0, units.Length)
                .Where(i => units[i].IsKnown && Math.Abs(units[i].ChangeC) > SupportedC && !IsSupported(i, units, otherKind)),
        ];
        return great.Length == 0
            ? []
            : rises.Withheld(
                new TemperatureChangeUnsupported(
                    string.Join(", ", great.Select(i => rises.Ids[i] + column)),
                    units[great.MaxBy(i => Math.Abs(units[i].ChangeC))].ChangeC
                ),
                great,
                answers
            );
    }

    /// <summary>Whether the load explains a third of the change, or the other unit of the motor changed by a fifth of it in the same
    /// direction; where that is not known, whether the other motors changed by a third of it.</summary>
    private bool IsSupported(int at, PairedRise[] units, PairedRise[] otherKind)
    {
        double change = units[at].ChangeC,
            byLoad = double.IsFinite(rises.LoadLogs[at]) ? units[at].BeforeC * (Math.Exp(rises.LoadLogs[at]) - 1) : 0;
        if (byLoad / change > 1 / 3.0)
        {
            return true;
        }

        if (otherKind[at].IsKnown)
        {
            return otherKind[at].ChangeC / change > 0.2;
        }

        double[] others = [.. units.Where((u, i) => i != at && u.IsKnown).Select(u => u.ChangeC)];
        return others.Length > 0 && Robust.Median(others) / change > 1 / 3.0;
    }
}
