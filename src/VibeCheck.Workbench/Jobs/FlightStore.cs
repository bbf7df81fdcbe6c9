using System.Collections.Concurrent;
using System.Globalization;
using System.Text.Json;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Airframes;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Flights;

namespace VibeCheck.Workbench.Jobs;

/// <summary>Keeps the flights of the job as they were read, so that the answer follows a change
/// of the survey without reading the logs again.</summary>
/// <remarks>A flight is read again when a file of it, the aircraft or what is said of its columns changes. Only the flights of the
/// latest reading are kept.</remarks>
internal sealed class FlightStore
{
    private readonly ConcurrentDictionary<string, Flight> _kept = [];
    private readonly ConcurrentDictionary<string, byte> _asked = [];

    /// <summary>A flight from the store, else from its files.</summary>
    internal Flight Read(FlightFiles files, ReadOptions options, Airframe airframe, CancellationToken cancellation)
    {
        string key = KeyOf(files, options, airframe);
        _asked[key] = 0;
        return _kept.TryGetValue(key, out Flight? flight) ? flight : _kept[key] = FlightReader.Read(files, options, airframe, cancellation);
    }

    /// <summary>Forgets the flights that the last reading did not ask for.</summary>
    internal void Trim()
    {
        foreach (string key in _kept.Keys.Where(k => !_asked.ContainsKey(k)))
        {
            _kept.TryRemove(key, out _);
        }

        _asked.Clear();
    }

    private static string KeyOf(FlightFiles files, ReadOptions options, Airframe airframe) =>
        string.Join(
            '\n',
            [
                .. files.Imu.Select(Stamp),
                "|",
                .. files.Esc.Select(Stamp),
                "|",
                options.Columns?.ToText() ?? "",
                JsonSerializer.Serialize(options with { Columns = null, Progress = null }),
                AirframeText.Of(airframe, null),
            ]
        );

    private static string Stamp(string path)
    {
        FileInfo file = new(path);
        return string.Create(CultureInfo.InvariantCulture, $"{path} {(file.Exists ? file.Length : -1)} {file.LastWriteTimeUtc.Ticks}");
    }
}
