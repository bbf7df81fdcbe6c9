using System.Globalization;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Surveys;
using VibeCheck.Logs.Sheets;
using VibeCheck.Logs.Surveys;

namespace VibeCheck.BenchSheet.State;

/// <summary>The shims under a motor as they were fitted, and readings of a gauge that shows no side.</summary>
public sealed partial class Sheet
{
    /// <summary>The shims that are planned for a motor, as the column <c>shims</c> of survey.csv has them.</summary>
    internal string PlannedShims(Motor motor) =>
        Plan.Motors.FirstOrDefault(m => m.Motor == motor)?.Stacks is ShimStacks stacks ? FittedShims.TextOf(stacks.Bolts) : "none";

    /// <summary>The shims under a motor, as far as known: those that were noted, else those of the plan.</summary>
    internal string FittedText(Motor motor) => Ledger.FittedAt(motor.Id) ?? PlannedShims(motor);

    /// <summary>The same bolt by bolt; null where the airframe does not say where the bolts are.</summary>
    internal FittedShims? Fitted(Motor motor) =>
        Airframe.BoltsOf(motor) is BoltPattern bolts ? FittedShims.Read(motor.Id, FittedText(motor), bolts).Shims : null;

    /// <summary>Puts one more piece under a bolt.</summary>
    internal void AddPiece(Motor motor, Bolt bolt, double mm) => SetStack(motor, bolt, stack => [.. stack.Append(mm).OrderDescending()]);

    /// <summary>Removes all pieces from under a bolt.</summary>
    internal void ClearBolt(Motor motor, Bolt bolt) => SetStack(motor, bolt, _ => []);

    /// <summary>Records that the shims of the plan are fitted.</summary>
    internal void FitAsPlanned(Motor motor)
    {
        CatchUp();
        Add([new FittedEntry(Guid.NewGuid(), Now(), motor.Id, null)]);
        Change(View with { Hint = "" });
    }

    private void SetStack(Motor motor, Bolt bolt, Func<IReadOnlyList<double>, IReadOnlyList<double>> change)
    {
        CatchUp();
        if (Fitted(motor)?.Bolts is not { } bolts)
        {
            return;
        }

        string text = FittedShims.TextOf(bolts.Select(b => b.Bolt == bolt ? b with { StackMm = change(b.StackMm) } : b));
        Add([new FittedEntry(Guid.NewGuid(), Now(), motor.Id, text)]);
        Change(View with { Hint = "" });
    }

    /// <summary>One value of a gauge without a side: first without the trial shim, then with it under either end. The third value completes
    /// the reading.</summary>
    internal void TapTrial()
    {
        CatchUp();
        if (Degrees(View.Typed) is not double deg)
        {
            Change(View with { Hint = "Type what the gauge shows first." });
            return;
        }

        if (View.TrialPlain.Length == 0)
        {
            if (deg == 0)
            {
                TapLevel();
                return;
            }

            Change(View with { TrialPlain = View.Typed, Typed = "", Hint = "" });
        }
        else if (View.TrialLeft.Length == 0)
        {
            Change(View with { TrialLeft = View.Typed, Typed = "", Hint = "" });
        }
        else if (TrialShim.LowSideOf(View.Direction, Degrees(View.TrialLeft) ?? 0, deg) is LowSide side)
        {
            View = View with { Typed = View.TrialPlain };
            Take($"{View.Typed} {Word(side)}", "");
        }
        else
        {
            Change(
                View with
                {
                    TrialLeft = "",
                    Typed = "",
                    Hint = "Both ends show the same: try again with a thicker shim, first under the left or inner end.",
                }
            );
        }
    }

    /// <summary>What was typed as an angle, degrees; the midpoint where the gauge flickers; null where it is no angle.</summary>
    private static double? Degrees(string typed)
    {
        double?[] values =
        [
            .. typed
                .Split('/')
                .Select(v =>
                    double.TryParse(v.Replace(',', '.'), NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out double deg)
                    && deg <= SurveyFile.LargestDeg
                        ? deg
                        : (double?)null
                ),
        ];
        return values.Length is 1 or 2 && values.All(v => v is not null) ? values.Average() : null;
    }
}
