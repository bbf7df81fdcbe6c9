namespace VibeCheck.Core.Flights.Temperatures;

/// <summary>What rounding to the sensor's step does to the rise: a fitted curve is rounded at evenly spread offsets and fitted
/// again.</summary>
/// <param name="OfRiseC2">Mean square of what it does to the rise, °C².</param>
/// <param name="OfResidualsC2">Variance that it leaves in the residuals, °C².</param>
internal readonly record struct RoundingDoubt(double OfRiseC2, double OfResidualsC2)
{
    private const int Phases = 16;

    /// <summary>Rounds and fits.</summary>
    /// <param name="fit">Fits values of the cells as the readings were fitted.</param>
    /// <param name="found">The fit of the readings.</param>
    /// <param name="stepC">Step of the sensor, °C.</param>
    /// <param name="usedCount">Cells that have a reading.</param>
    /// <param name="variance">Variance of the real residuals, °C².</param>
    /// <param name="dependent">The same with its dependence on its neighbours, °C².</param>
    internal static RoundingDoubt Of(
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

        // Noise before rounding blurs the steps: then the residuals are smaller than bare steps would leave, and so is their effect.
        double blur = residuals > 0 ? Math.Min(1, variance * Phases / residuals) : 1;
        return new(squares / Phases * blur, residuals / Phases);
    }
}
