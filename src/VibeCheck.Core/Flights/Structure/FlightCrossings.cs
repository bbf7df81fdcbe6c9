using VibeCheck.Core.Airframes;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights.Structure;

/// <summary>The parts of the flight in which rotor orders passed through a frequency.</summary>
internal sealed class FlightCrossings(Flight flight, Airframe airframe, IReadOnlyList<TimeInterval> hover)
{
    /// <summary>Parts in which order 1, 2 or the blade count of a motor passed through the frequency, in the order of the
    /// enumeration.</summary>
    internal IReadOnlyList<FlightPhase> Of(double hz)
    {
        HashSet<FlightPhase> phases = [];
        foreach (Motor motor in airframe.Motors)
        {
            if (flight.Track(motor.Id)?.Rpm is not { } rpm)
            {
                continue;
            }

            foreach (int order in (int[])[1, 2, motor.Blades])
            {
                double crossing = hz * 60 / order;
                for (int i = 1; i < rpm.Count; i++)
                {
                    if ((rpm.Values[i - 1] < crossing) != (rpm.Values[i] < crossing))
                    {
                        phases.Add(PhaseAt(rpm.TimeS[i]));
                    }
                }
            }
        }

        return [.. phases.Order()];
    }

    private FlightPhase PhaseAt(double timeS) =>
        hover.Any(s => timeS >= s.FromS && timeS <= s.ToS) ? FlightPhase.Hover
        : hover.Count == 0 || timeS < hover[0].FromS ? FlightPhase.TakeOff
        : timeS > hover[^1].ToS ? FlightPhase.Landing
        : FlightPhase.Manoeuvre;
}
