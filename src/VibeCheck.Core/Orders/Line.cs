namespace VibeCheck.Core.Orders;

/// <summary>One order of one rotor as the sampled log shows it.</summary>
/// <param name="Rotor">Index of the rotor among those that turn.</param>
/// <param name="Order">Cycles a revolution.</param>
/// <param name="Hz">Its mean true frequency.</param>
/// <param name="SignedOrder">How its phase turns with the rotor's: the order, negative when folding mirrors it.</param>
/// <param name="ShiftHz">Added to <paramref name="SignedOrder"/> times the rotor's frequency it gives the line's frequency.</param>
internal sealed record Line(int Rotor, int Order, double Hz, int SignedOrder, double ShiftHz)
{
    internal bool IsMirrored => SignedOrder < 0;

    /// <summary>Its frequency between 0 and half the sample rate, for a rotor frequency near the mean.</summary>
    internal double ApparentHz(double rotorHz) => SignedOrder * rotorHz + ShiftHz;

    internal static Line Of(int rotor, int order, double rotorHz, double rateHz)
    {
        double hz = order * rotorHz,
            folds = Math.Round(hz / rateHz) * rateHz;
        return hz < folds ? new Line(rotor, order, hz, -order, folds) : new Line(rotor, order, hz, order, -folds);
    }
}
