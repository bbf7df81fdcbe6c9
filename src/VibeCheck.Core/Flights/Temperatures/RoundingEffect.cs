namespace VibeCheck.Core.Flights.Temperatures;

/// <summary>The effect on the rise of rounding to the sensor's step: a fitted curve is rounded at evenly spread offsets and fitted
/// again.</summary>
/// <param name="OfRiseC2">Mean square of its effect on the rise, °C².</param>
/// <param name="OfResidualsC2">Its variance in the residuals, °C².</param>
internal readonly record struct RoundingEffect(double OfRiseC2, double OfResidualsC2)
{
    private const int Phases = 16;

    /// <summary>Rounds and fits.</summary>
    /// <param name="fit">Fits values of the cells in the same way as the readings.</param>
    /// <param name="found">The fit of the readings.</param>
    /// <param name="stepC">Step of the sensor, °C.</param>
    /// <param name="usedCount">Number of cells with a reading.</param>
    /// <param name="variance">Variance of the real residuals, °C².</param>
    /// <param name="dependent">The same including its correlation with adjacent cells, °C².</param>
    internal static RoundingEffect Of(
        Func<double[], HeatingFits> fit,
        HeatingFits found,
        double stepC,
        int usedCount,
        double variance,
        double dependent
    )
    {
        double[] predicted = found.PredictedC();
        double unrounded = fit(predicted).RiseC(dependent);
        double squares = 0,
            residuals = 0;
        double[] rounded = new double[predicted.Length];
        for (int phase = 0; phase < Phases; phase++)
        {
            double offset = ((phase + 0.5) / Phases - 0.5) * stepC;
            for (int i = 0; i < rounded.Length; i++)
            {
                rounded[i] = Math.Round((predicted[i] + offset) / stepC) * stepC - offset;
            }

            HeatingFits again = fit(rounded);
            double off = again.RiseC(dependent) - unrounded;
            squares += off * off;
            residuals += again.SquaresC2 / Math.Max(1, usedCount - 4);
        }

        // Noise before rounding smooths the steps: then the residuals are smaller than those of pure steps, and so is the effect of the
        // steps.
        double blur = residuals > 0 ? Math.Min(1, variance * Phases / residuals) : 1;
        return new(squares / Phases * blur, residuals / Phases);
    }
}
