using System.Collections.Concurrent;
using System.Globalization;
using System.Text.Json;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Airframes;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Flights;

namespace VibeCheck.Workbench.Jobs;

/// <summary>Keeps the flights of the job as they were read. After a change of the survey the answer need not read the logs again, and the
/// shelf gets from the same reading how each log was understood.</summary>
/// <remarks>A flight is read again when one of its files, the aircraft or an entry on its columns changes. Only the flights of the
/// latest answer are kept, and those that were read ahead of the next one.</remarks>
internal sealed class FlightStore
{
    private readonly ConcurrentDictionary<string, KeptFlight> _kept = [];
    private readonly ConcurrentDictionary<string, byte> _asked = [];

    /// <summary>A flight from the store or, where it is not there, from its files.</summary>
    internal Flight Read(FlightFiles files, ReadOptions options, Airframe airframe, CancellationToken cancellation)
    {
        string key = KeyOf(files, options, airframe);
        _asked[key] = 0;
        Flight flight = Get(key, files, options, airframe, cancellation);

        // The air temperature that the user gives affects nothing else in a flight.
        return flight with
        {
            AmbientC = options.AmbientC ?? flight.AmbientC,
        };
    }

    /// <summary>Reads a flight ahead for a later answer.</summary>
    internal void ReadAhead(FlightFiles files, ReadOptions options, Airframe airframe, CancellationToken cancellation) =>
        Get(KeyOf(files, options, airframe), files, options, airframe, cancellation);

    /// <summary>How a log was understood when its flight was read; null where no kept flight has this log as its only IMU or ESC file, in
    /// its present version and with these columns.</summary>
    internal FileRecord? RecordOf(string path, ColumnsFile? columns)
    {
        string key = RecordKey(path, columns);
        return _kept.Values.SelectMany(k => k.Records).FirstOrDefault(r => r.Key == key).Record;
    }

    /// <summary>Removes the flights that the last answer did not ask for.</summary>
    internal void Trim()
    {
        foreach (string key in _kept.Keys.Where(k => !_asked.ContainsKey(k)))
        {
            _kept.TryRemove(key, out _);
        }

        _asked.Clear();
    }

    /// <summary>Removes the flights with a log that is in none of these.</summary>
    internal void KeepOnly(IEnumerable<FlightFiles> flights)
    {
        HashSet<string> wanted = [.. flights.SelectMany(f => f.Imu.Concat(f.Esc)).Select(Path.GetFullPath)];
        foreach ((string key, KeptFlight kept) in _kept)
        {
            if (!kept.Files.Imu.Concat(kept.Files.Esc).Select(Path.GetFullPath).All(wanted.Contains))
            {
                _kept.TryRemove(key, out _);
            }
        }
    }

    private Flight Get(string key, FlightFiles files, ReadOptions options, Airframe airframe, CancellationToken cancellation)
    {
        if (_kept.TryGetValue(key, out KeptFlight? kept))
        {
            return kept.Flight;
        }

        // Computed before the reading, so that a file that changes meanwhile is read again.
        string[] keys = [.. files.Imu.Concat(files.Esc).Select(p => RecordKey(p, options.Columns))];
        Flight flight = FlightReader.Read(files, options with { AmbientC = null }, airframe, cancellation);
        bool each = files is { Imu.Count: 1, Esc.Count: <= 1 };
        _kept[key] = new(flight, files, each ? [.. keys.Zip(new[] { flight.Input.Imu, flight.Input.Esc }.OfType<FileRecord>())] : []);
        return flight;
    }

    private static string RecordKey(string path, ColumnsFile? columns) => $"{Stamp(Path.GetFullPath(path))}\n{columns?.ToText()}";

    private static string KeyOf(FlightFiles files, ReadOptions options, Airframe airframe) =>
        string.Join(
            '\n',
            [
                .. files.Imu.Select(Stamp),
                "|",
                .. files.Esc.Select(Stamp),
                "|",
                options.Columns?.ToText() ?? "",
                JsonSerializer.Serialize(options with { Columns = null, Progress = null, AmbientC = null }),
                AirframeText.Of(airframe, null),
            ]
        );

    private static string Stamp(string path)
    {
        FileInfo file = new(path);
        return string.Create(CultureInfo.InvariantCulture, $"{path} {(file.Exists ? file.Length : -1)} {file.LastWriteTimeUtc.Ticks}");
    }

    /// <summary>A flight, the logs it was read from, and how each of them was understood.</summary>
    private sealed record KeptFlight(Flight Flight, FlightFiles Files, (string Key, FileRecord Record)[] Records);
}
