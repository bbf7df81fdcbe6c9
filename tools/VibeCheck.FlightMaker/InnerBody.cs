namespace VibeCheck.FlightMaker;

/// <summary>A winding (or a chip) in a case: heat is generated inside, flows to the case and from there to the air.</summary>
/// <param name="Share">Share of the steady rise between inside and case, 0 to 1.</param>
/// <param name="TauS">Time constant of the inside relative to its case, s.</param>
/// <param name="IsApart">Whether the fast rise and the slow one are independent and simply add.</param>
public sealed record InnerBody(double Share, double TauS, bool IsApart = false)
{
    /// <summary>One step of the two heat balances (explicit Euler).</summary>
    /// <param name="inside">Rise of the inside above ambient, °C.</param>
    /// <param name="outside">Rise of the case above ambient, °C.</param>
    /// <param name="settlesAtC">Steady-state rise of the inside under the present load, °C.</param>
    /// <param name="caseTauS">Time constant of the case to the air, s.</param>
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

        // Heat flows are in units of the generated heat: C_in dT_in/dt = made - flow, C_out dT_out/dt = flow - lost.
        double flow = (inside - outside) / Share,
            lost = outside / (1 - Share);
        return (inside + stepS / TauS * Share * (settlesAtC - flow), outside + stepS / caseTauS * (1 - Share) * (flow - lost));
    }
}
