namespace VibeCheck.Core.Signals;

/// <summary>How a density is calculated: window, its length and step in samples, and the sample rate.</summary>
/// <remarks>Immutable: any number of threads may share it.</remarks>
internal sealed class WelchPlan
{
    internal WelchPlan(Window window, int length, int step, double rateHz)
    {
        ArgumentNullException.ThrowIfNull(window);
        ArgumentOutOfRangeException.ThrowIfLessThan(step, 1);
        Window = window;
        Length = length;
        Step = step;
        RateHz = Require.Positive(rateHz);
        Weights = window.Values(length);
        double squares = 0;
        foreach (double weight in Weights)
        {
            squares += weight * weight;
        }

        OneSidedScale = 2 / (rateHz * squares);
    }

    internal Window Window { get; }

    internal int Length { get; }

    internal int Step { get; }

    internal double RateHz { get; }

    internal double[] Weights { get; }

    /// <summary>Squared magnitude to one-sided density; half of it at 0 and at half the sample rate.</summary>
    internal double OneSidedScale { get; }

    internal double ResolutionHz => RateHz / Length;

    internal int Bins => Length / 2 + 1;
}
