using VibeCheck.Core.Airframes;
using VibeCheck.Core.Orders.SpeedSearch;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights;

/// <summary>A flight completed with speeds from the vibration, where the log lacks them and they can be found.</summary>
/// <param name="Flight">The flight; found speeds cover only the hover.</param>
/// <param name="Search">Result of the search; null when nothing was missing, or the log cannot show rotors.</param>
internal sealed record SpeedSupply(Flight Flight, SpeedSearchResult? Search)
{
    internal static SpeedSupply Of(Flight flight, Airframe airframe, IReadOnlyList<TimeInterval> hover)
    {
        HashSet<string> heard = [.. MotorSamples.Of(flight, airframe, hover, t => t.Rpm).Motors.Select(m => m.Id)];
        if (heard.Count == airframe.Motors.Count || hover.Count == 0 || RotorResults.IsTooSlow(flight.Imu.RateHz))
        {
            return new(flight, null);
        }

        SpeedSearchResult search = RotorSpeedFinder.Find(
            flight.Imu,
            hover,
            [.. airframe.Motors.Select(m => Lead(m, flight.Track(m.Id), heard))]
        );
        return new(
            flight with
            {
                Motors = [.. airframe.Motors.Select(m => Filled(m.Id, flight.Track(m.Id), search)).OfType<MotorTrack>()],
            },
            search
        );
    }

    /// <summary>Result for a motor; null when it was not searched for.</summary>
    internal FoundSpeed? Found(string motorId) => Search?.Motors.FirstOrDefault(f => f.MotorId == motorId);

    /// <summary>Whether the speed of a motor was searched for and found.</summary>
    internal bool IsFound(string motorId) => Found(motorId) is { Rpm: not null };

    private static SpeedPrior Lead(Motor motor, MotorTrack? track, HashSet<string> heard) =>
        new(
            motor.Id,
            motor.Blades,
            track?.Command is { Count: > 1 } command ? Spikes.Without(command) : null,
            heard.Contains(motor.Id) ? Spikes.Without(track!.Rpm!) : null
        );

    private static MotorTrack? Filled(string motorId, MotorTrack? track, SpeedSearchResult search) =>
        search.Motors.FirstOrDefault(f => f.MotorId == motorId)?.Rpm is { } rpm
            ? (track ?? new() { MotorId = motorId }) with
            {
                Rpm = rpm,
            }
            : track;
}
