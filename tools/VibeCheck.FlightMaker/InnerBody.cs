namespace VibeCheck.FlightMaker;

/// <summary>A winding (or a chip) in a case: heat is made inside, goes to the case and from there to the air.</summary>
/// <param name="Share">Share of the steady rise that lies between inside and case, 0 to 1.</param>
/// <param name="TauS">Time in which the inside follows its case, s.</param>
/// <param name="IsApart">The quick rise and the slow one do not act on each other: they simply add up.</param>
public sealed record InnerBody(double Share, double TauS, bool IsApart = false)
{
    /// <summary>One step of the two heat balances (explicit Euler).</summary>
    /// <param name="inside">Rise of the inside above ambient, °C.</param>
    /// <param name="outside">Rise of the case above ambient, °C.</param>
    /// <param name="settlesAtC">Where the inside would settle under the present load, °C.</param>
    /// <param name="caseTauS">Time constant of the case against the air, s.</param>
    /// <param name="stepS">Length of the step, s.</param>
    /// <returns>Both rises after the step, °C.</returns>
    internal (double Inside, double Outside) Next(double inside, double outside, double settlesAtC, double caseTauS, double stepS)
    {
        if (IsApart)
        {
            double quick = inside - outside,
                slow = outside + stepS / caseTauS * ((1 - Share) * settlesAtC - outside);
            return (slow + quick + stepS / TauS * (Share * settlesAtC - quick), slow);
        }

        // The heat that is made is the unit of the flows: C_in dT_in/dt = made - flow, C_out dT_out/dt = flow - lost.
        double flow = (inside - outside) / Share,
            lost = outside / (1 - Share);
        return (inside + stepS / TauS * Share * (settlesAtC - flow), outside + stepS / caseTauS * (1 - Share) * (flow - lost));
    }
}
