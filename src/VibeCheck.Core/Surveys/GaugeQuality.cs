using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Surveys;

/// <summary>The quality of a gauge, from its stated data and from the survey.</summary>
/// <remarks>
/// A display in steps hides where in its step the truth lies: u = step/√12 (GUM F.2.2.1). Repeats that all agree cannot better that.
/// Repeats that scatter do: the scatter carries the truth over the edges of the steps, and of the step only the part
/// B² = step²/(2π²)·Σ exp(-4π²k²σ²/step²)/k² stays however many readings are averaged (characteristic function of a rounded value,
/// B. Widrow and I. Kollár, Quantization Noise, 2008). Without scatter B is step/√12; with σ of half a step it is 0.2 % of a step.
/// </remarks>
public sealed record GaugeQuality
{
    /// <summary>Step of the display, degrees.</summary>
    public required double StepDeg { get; init; }

    /// <summary>Whether the step was stated; else it was read off the survey.</summary>
    public required bool StepGiven { get; init; }

    /// <summary>Standard deviation of what the display shows when the gauge is set down again, pooled over all repeats, degrees; null
    /// without repeats.</summary>
    public double? ScatterDeg { get; init; }

    /// <summary>Readings beyond the first at each place, over the whole survey; 0 without repeats.</summary>
    public int RepeatCount { get; init; }

    /// <summary>Repeatability: standard deviation of setting the gauge down again before the
    /// display rounds it, from what is stated (or usual) and what
    /// the repeats show, degrees.</summary>
    public required double RepeatabilityDeg { get; init; }

    /// <summary>Degrees of freedom of the repeatability.</summary>
    public required double RepeatabilityFreedom { get; init; }

    /// <summary>Whether a repeatability was stated; else the usual one was taken.</summary>
    public required bool RepeatabilityGiven { get; init; }

    /// <summary>± limit of one reading's zero error, degrees: the maker's, or two steps where none is stated.</summary>
    public required double AccuracyDeg { get; init; }

    /// <summary>Whether the limit was stated.</summary>
    public required bool AccuracyGiven { get; init; }

    /// <summary>Zero error that readings with the gauge turned show, degrees; unknown when the gauge was never turned.</summary>
    public required Estimate ZeroErrorDeg { get; init; }

    /// <summary>Standard uncertainty that stays in a mean of any number of readings because of the display's steps, degrees.</summary>
    public double StepLeftDeg => StepLeft(StepDeg, RepeatabilityDeg);

    /// <summary>Standard uncertainty that the display's steps leave in a mean of so many readings, degrees: step/√12 for one.</summary>
    public double StepsDeg(int readings) =>
        Math.Sqrt((StepDeg * StepDeg / 12 - StepLeftDeg * StepLeftDeg) / readings + StepLeftDeg * StepLeftDeg);

    /// <summary>Share of a relative change of σ² that the variance shown by the display follows,
    /// from a half (σ far below the step) to 1 (far above):
    /// σ²/s² · ds²/dσ² with s² = σ² + step²/12 - B².</summary>
    /// <param name="stepDeg">Step of the display, above 0.</param>
    /// <param name="scatterDeg">Standard deviation σ of what the display rounds, 0 or more.</param>
    public static double ShareShown(double stepDeg, double scatterDeg)
    {
        double turn = 2 * Math.PI * scatterDeg / Require.Positive(stepDeg),
            sum = 0;
        if (turn < 1e-2)
        {
            return 0.5;
        }

        for (int k = 1; k * turn < 9; k++)
        {
            sum += Math.Exp(-k * k * turn * turn);
        }

        double variance = scatterDeg * scatterDeg,
            left = StepLeft(stepDeg, scatterDeg);
        return variance * (1 + 2 * sum) / (variance + stepDeg * stepDeg / 12 - left * left);
    }

    /// <summary>B of the remarks, degrees.</summary>
    /// <param name="stepDeg">Step of the display, above 0.</param>
    /// <param name="scatterDeg">Standard deviation of what the display rounds, 0 or more.</param>
    public static double StepLeft(double stepDeg, double scatterDeg)
    {
        double turn = 2 * Math.PI * scatterDeg / Require.Positive(stepDeg),
            sum = 0;
        if (turn < 1e-3)
        {
            return stepDeg / Math.Sqrt(12);
        }

        for (int k = 1; k * turn < 9; k++)
        {
            sum += Math.Exp(-k * k * turn * turn) / (k * (double)k);
        }

        return stepDeg / Math.PI * Math.Sqrt(sum / 2);
    }

    /// <summary>Scatter before rounding that shows as <paramref name="shownDeg"/> on a display of
    /// that step: σ² + step²/12 - B²(σ) = shown².</summary>
    public static double PlacementScatter(double stepDeg, double shownDeg)
    {
        double low = 0,
            high = shownDeg;
        for (int i = 0; i < 60; i++)
        {
            double mid = (low + high) / 2,
                left = StepLeft(stepDeg, mid);
            bool above = mid * mid + stepDeg * stepDeg / 12 - left * left > shownDeg * shownDeg;
            (low, high) = above ? (low, mid) : (mid, high);
        }

        return (low + high) / 2;
    }
}
